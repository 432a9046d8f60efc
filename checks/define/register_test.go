package define

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

const instrumentsHead = "package registers\n\nimport \"witnessmark.example/schema/register\"\n\n"

// toolsFile is a register of instruments: TW-1 in line 6 with the lines given from
// line 7 on, and a sound one behind it.
func toolsFile(body string) string {
	return instrumentsHead + "#instruments: register.#Instruments & {\n\t\"TW-1\": {\n" + body + "\n\t}\n\tsound: {instrument: \"scale\", calibrated_on: \"2026-01-01\", valid_until: \"2026-12-31\"}\n}\n"
}

// peopleFile is the same of the register of people.
func peopleFile(body string) string {
	return instrumentsHead + "#people: register.#People & {\n\tro: {\n" + body + "\n\t}\n\tsound: {}\n}\n"
}

func readFirmOf(t testing.TB, files map[string]string) *Firm {
	t.Helper()
	fsys := fstest.MapFS{RootFile: {Data: []byte(root)}}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return ReadFirm(schema.Files, fsys, shape(t))
}

// faultLines writes faults as "file:line code message".
func faultLines(faults []limit.Fault) (out []string) {
	for _, f := range faults {
		out = append(out, fmt.Sprintf("%s %s %s", f.At, f.Code, f.Message))
	}
	return out
}

const (
	kind = "instrument: \"torque wrench\"\n"
	good = "calibrated_on: \"2026-03-01\"\nvalid_until: \"2027-02-28\""
)

// Every mistake in an entry is one fault at its line. The entry is used all the
// same only where a figure alone is wrong; the others of the file always are.
func TestBrokenEntriesOfRegisters(t *testing.T) {
	for _, c := range []struct {
		name, body string
		line       int
		says, mend string
		used       bool
	}{
		{"31 February", kind + "calibrated_on: \"2026-02-31\"\nvalid_until: \"2027-02-28\"", 8, `calibrated_on of TW-1: "2026-02-31" is no date`, "write it as in 2026-03-11; TW-1 is not applied", false},
		{"day first", kind + "calibrated_on: \"2026-03-01\"\nvalid_until: \"28-02-2027\"", 9, `valid_until of TW-1: "28-02-2027" is no date`, "2026-03-11", false},
		{"a word", kind + "calibrated_on: \"last spring\"\nvalid_until: \"2027-02-28\"", 8, `calibrated_on of TW-1: "last spring" is no date`, "2026-03-11", false},
		{"an empty date", kind + "calibrated_on: \"\"\nvalid_until: \"2027-02-28\"", 8, `calibrated_on of TW-1: "" is no date`, "2026-03-11", false},
		{"a number", kind + "calibrated_on: 20260301\nvalid_until: \"2027-02-28\"", 8, "TW-1.calibrated_on has a value of another form than it takes", "TW-1 is not applied", false},
		{"ends before it begins", kind + "calibrated_on: \"2026-03-01\"\nvalid_until: \"2026-02-28\"", 9, "TW-1 is good until 2026-02-28, before it begins on 2026-03-01", "correct the dates; TW-1 is not applied", false},
		{"no last day", kind + "calibrated_on: \"2026-03-01\"", 6, "valid_until of TW-1 is missing", "add it; TW-1 is not applied", false},
		{"no first day", kind + "valid_until: \"2026-03-01\"", 6, "calibrated_on of TW-1 is missing", "add it", false},
		{"no kind", good, 6, "instrument of TW-1 is missing", "add it", false},
		{"wrong word", "instrument: \"torque wrensh\"\n" + good, 7, `instrument cannot be "torque wrensh"; did you mean "torque wrench"?`, "use one of: clamp meter, ", false},
		{"wrong short word", kind + good + "\ncategory: \"V\"", 10, `category cannot be "V"`, "use one of: II, III, IV", false},
		{"unknown field", kind + good + "\nserail: \"4711\"", 10, `serail is no field that belongs here; did you mean "serial"`, "TW-1 is not applied", false},
		{"unknown field inside", kind + good + "\nrange: torque_lo: \"5 N·m\"", 10, `torque_lo is no field that belongs here; did you mean "torque_low"`, "TW-1 is not applied", false},
		{"no unit", kind + good + "\nrange: torque_low: \"5\"", 10, `range.torque_low of TW-1: "5" has no unit`, "write 5 N·m", true},
		{"other kind of unit", kind + good + "\nrange: torque_low: \"5 V\"", 10, `"5 V" is a voltage (V), where a torque is expected`, "write it as in 5 N·m", true},
		{"absurd number", kind + good + "\nrange: {\ntorque_low: \"5 N·m\"\ntorque_high: \"1e99 N·m\"\n}", 12, "absurd exponent", "write it as in 25 N·m", true},
		{"no unit in percent", kind + good + "\naccuracy: \"4\"", 10, `accuracy of TW-1: "4" has no unit`, "write 4 %", true},
		{"no list", kind + good + "\npoints: \"20 %\"", 10, "points has a value of another form than it takes", "", false},
		{"wrong date earlier", kind + good + "\nearlier: [\n{calibrated_on: \"2025-03-01\", valid_until: \"2025-03-31\"},\n{calibrated_on: \"2024-03-01\", valid_until: \"2025-02-29\"},\n]", 12, `valid_until of an earlier time of TW-1: "2025-02-29" is no date`, "write year-month-day", false},
		{"ends before it begins earlier", kind + good + "\nearlier: [\n{calibrated_on: \"2025-03-01\", valid_until: \"2025-02-01\"}]", 11, "an earlier time of TW-1 is good until 2025-02-01, before it begins on 2025-03-01", "correct the dates", false},
		{"no last day earlier", kind + good + "\nearlier: [\n{calibrated_on: \"2025-03-01\"}]", 11, "valid_until of an earlier time of TW-1 is missing", "add it", false},
		{"unknown field earlier", kind + good + "\nearlier: [{calibrated_on: \"2025-03-01\", valid_until: \"2025-03-31\", sertificate: \"c\"}]", 10, `did you mean "certificate"`, "TW-1 is not applied", false},
		{"earlier is no list", kind + good + "\nearlier: {calibrated_on: \"2025-03-01\", valid_until: \"2025-03-31\"}", 10, "earlier has a value of another form than it takes", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			for form, text := range map[string]string{"with its form": toolsFile(c.body), "without": strings.Replace(toolsFile(c.body), "register.#Instruments & ", "", 1)} {
				f := readFirmOf(t, map[string]string{"registers/tools.cue": text})
				require.Len(t, f.Faults, 1, "%s: %v", form, faultLines(f.Faults))
				assert.Equal(t, fact.Origin{File: "registers/tools.cue", Line: c.line}, f.Faults[0].At, form)
				assert.Contains(t, f.Faults[0].Message, c.says, form)
				assert.Contains(t, f.Faults[0].Mend, c.mend, form)
				sound, _, err := f.Registered("instruments", "sound")
				require.NoError(t, err)
				assert.Len(t, sound.Valid, 1)
				in, kept, err := f.Registered("instruments", "TW-1")
				assert.True(t, kept)
				if c.used {
					require.NoError(t, err, form)
					assert.Len(t, in.Valid, 1)
					continue
				}
				assert.Nil(t, in)
				assert.EqualError(t, err, `the entry of "TW-1" in the register of instruments is broken (see the problems of registers/tools.cue)`, form)
			}
		})
	}
}

// The same of people.
func TestBrokenPeople(t *testing.T) {
	for _, c := range []struct {
		name, body string
		line       int
		says, mend string
	}{
		{"31 June", `valid_from: "2026-06-31"`, 7, `valid_from of ro: "2026-06-31" is no date`, "write it as in 2026-03-11; ro is not applied"},
		{"ends before it begins", "valid_from: \"2026-06-30\"\nvalid_until: \"2026-06-29\"", 8, "ro is good until 2026-06-29, before it begins on 2026-06-30", "correct the dates"},
		{"wrong word in a list", `may_rule_on: ["policy", "energize"]`, 7, `cannot be "energize"; did you mean "energise"?`, "use one of: commissioning, design, energise, "},
		{"no list", `may_rule_on: "energise"`, 7, "may_rule_on has a value of another form than it takes", "ro is not applied"},
		{"unknown field", `licens: "grade 2"`, 7, `licens is no field that belongs here; did you mean "licence"`, "ro is not applied"},
		{"no last day earlier", `earlier: [{valid_from: "2020-01-01"}]`, 7, "valid_until of an earlier time of ro is missing", "add it"},
		{"number for a name", `name: 3`, 7, "ro.name has a value of another form than it takes", "ro is not applied"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readFirmOf(t, map[string]string{"registers/people.cue": peopleFile(c.body)})
			require.Len(t, f.Faults, 1, "%v", faultLines(f.Faults))
			assert.Equal(t, fact.Origin{File: "registers/people.cue", Line: c.line}, f.Faults[0].At)
			assert.Contains(t, f.Faults[0].Message, c.says)
			assert.Contains(t, f.Faults[0].Mend, c.mend)
			_, _, err := f.Registered("people", "sound")
			require.NoError(t, err)
			_, _, err = f.Registered("people", "ro")
			assert.ErrorContains(t, err, "is broken")
		})
	}
}

// Mistakes of files as a whole.
func TestFilesOfRegisters(t *testing.T) {
	sound := toolsFile(kind + good)
	for name, c := range map[string]struct {
		files  map[string]string
		faults []string
		found  string // what looking up TW-1 says, "" for found
	}{
		"sound":            {files: map[string]string{"registers/a.cue": sound}},
		"in two files":     {files: map[string]string{"registers/a.cue": sound, "registers/b.cue": peopleFile("")}},
		"no folder":        {files: map[string]string{}, found: "not kept"},
		"key in two files": {map[string]string{"registers/a.cue": sound, "registers/b.cue": toolsFile(kind + good)}, []string{`registers/b.cue:6 registered-twice "TW-1" stands in the register of instruments already, in registers/a.cue`, `registers/b.cue:11 registered-twice "sound" stands in the register of instruments already, in registers/a.cue`}, ""},
		"key twice, two values": {map[string]string{"registers/a.cue": toolsFile(kind + good + "\n}\n\"TW-1\": {\nserial: \"1\"\n}\n\"TW-1\": {\nserial: \"2\"")},
			[]string{"registers/a.cue:12 broken-definition TW-1.serial has two values that contradict each other, in lines 12 and 15"}, "is broken"},
		"key with a space":  {map[string]string{"registers/a.cue": strings.Replace(sound, "sound:", "\"not sound\":", 1)}, []string{"registers/a.cue:11 broken-definition not sound is no field that belongs here"}, ""},
		"no register in it": {map[string]string{"registers/a.cue": sound, "registers/b.cue": "package registers\n\n#instrument: {}\n"}, []string{"registers/b.cue:3 no-register #instrument is no register, so nothing of it is used; did you mean \"#instruments\"?"}, ""},
		"only a package":    {map[string]string{"registers/a.cue": sound, "registers/b.cue": "package registers\n"}, []string{"registers/b.cue:1 no-register the file holds no register, so nothing of it is used"}, ""},
		"no definition":     {map[string]string{"registers/a.cue": sound, "registers/b.cue": "package registers\n\ninstruments: {}\n"}, []string{"registers/b.cue:3 no-definition instruments is no definition, so nothing of it would be applied"}, ""},
		"in a folder below": {map[string]string{"registers/2026/a.cue": sound}, []string{"registers/2026/a.cue:0 not-read definitions in folders below registers are not read"}, "not kept"},
		"syntax": {map[string]string{"registers/a.cue": instrumentsHead + "#instruments: register.#Instruments & {\n\t\"TW-1\": {\n"},
			[]string{"registers/a.cue:6 broken-definition the file is not well-formed CUE here"}, `"TW-1" could not be looked up in the register of instruments, since a file of it is broken (see the problems of registers/a.cue)`},
		"syntax in another": {map[string]string{"registers/a.cue": sound, "registers/b.cue": instrumentsHead + "#people: {\n"}, []string{"registers/b.cue:5 broken-definition the file is not well-formed CUE here"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			f := readFirmOf(t, c.files)
			assert.Equal(t, c.faults, faultLines(f.Faults))
			in, kept, err := f.Registered("instruments", "TW-1")
			switch c.found {
			case "":
				require.NoError(t, err)
				assert.Equal(t, "registers/a.cue", in.File)
			case "not kept":
				require.NoError(t, err)
				assert.False(t, kept)
			default:
				assert.True(t, kept)
				assert.ErrorContains(t, err, c.found)
			}
		})
	}
}

// What a broken file may hold is not said not to be there; what a sound one holds
// is found, and a key that is nearly right is offered.
func TestLookingUpInRegisters(t *testing.T) {
	broken := map[string]string{"registers/a.cue": toolsFile(kind + good), "registers/b.cue": instrumentsHead + "#people: {\n"}
	f := readFirmOf(t, broken)
	for key, says := range map[string]string{"sound": "", "SOUND": "could not be looked up"} {
		_, kept, err := f.Registered("instruments", key)
		assert.True(t, kept)
		if says == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, says)
		}
	}
	assert.NotNil(t, f.Registers["people"], "a register in a broken file is kept")
	delete(broken, "registers/b.cue")
	f = readFirmOf(t, broken)
	_, _, err := f.Registered("instruments", "TW-7")
	assert.EqualError(t, err, `there is no "TW-7" in the register of instruments; did you mean "TW-1"?`)
	_, kept, err := f.Registered("people", "ro")
	require.NoError(t, err)
	assert.False(t, kept)
}

// Earlier times count beside the last one, each with its first and last day.
func TestEarlierTimes(t *testing.T) {
	f := readFirmOf(t, map[string]string{"registers/a.cue": toolsFile(kind + good + "\nearlier: [{calibrated_on: \"2025-03-01\", valid_until: \"2026-01-31\"}, {calibrated_on: \"2023-03-01\", valid_until: \"2024-02-29\"}]")})
	require.Empty(t, f.Faults)
	in, _, err := f.Registered("instruments", "TW-1")
	require.NoError(t, err)
	assert.Len(t, in.Valid, 3)
	for day, valid := range map[string]bool{"2027-02-28": true, "2027-03-01": false, "2026-03-01": true, "2026-02-28": false, "2026-01-31": true, "2025-02-28": false, "2024-02-29": true, "2024-03-01": false, "2023-02-28": false} {
		d, ok := fact.ParseDay(day)
		require.True(t, ok)
		assert.Equal(t, valid, in.ValidOn(d), day)
	}
}
