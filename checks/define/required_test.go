package define

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/schema"
)

// readRootFile reads a firm with one root file, whose lines after the name begin
// with line 7, and with the folders that a firm has.
func readRootFile(t testing.TB, body string) *Firm {
	t.Helper()
	text := "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {\n\tname: \"Test\"\n" + body + "\n}\n"
	return ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(text)}}, shape(t))
}

// Every mistake in a root file is one fault at its line that says what to do.
func TestBrokenRootFiles(t *testing.T) {
	for _, c := range []struct {
		name, body string
		at         string // of the fault
		says, mend string
	}{
		{"unknown field", `decimals: "comma"`, "witnessmark.cue:7", `decimals is no field that belongs here; did you mean "decimal"?`, "nothing in this file is applied"},
		{"wrong decimal", "\ndecimal: \"coma\"", "witnessmark.cue:8", `decimal cannot be "coma"; did you mean "comma"?`, "use one of: comma, point"},
		{"time zone that is none", `time_zone: "Etc/Nowhere"`, "witnessmark.cue:7", `there is no time zone "Etc/Nowhere"; days are counted in UTC`, "for example Etc/UTC"},
		{"time zone of the machine", `time_zone: "Local"`, "witnessmark.cue:7", `there is no time zone "Local"`, "for example Etc/UTC"},
		{"time zone that is a number", `time_zone: 3`, "witnessmark.cue:7", "time_zone has a value of another form than it takes", ""},
		{"language in full", `languages: ["english"]`, "witnessmark.cue:7", "languages has a value of another form than it takes", ""},
		{"language in capitals", `languages: ["en", "DE"]`, "witnessmark.cue:7", "languages has a value of another form than it takes", ""},
		{"language without list", `languages: "en"`, "witnessmark.cue:7", "languages has a value of another form than it takes", ""},
		{"folder of registers that is not there", `registers: "people"`, "people:0", "the folder that the root file names does not exist", "create it, or correct its name"},
		{"folder of equipment that is not there", `equipment: "products"`, "products:0", "the folder that the root file names does not exist", "create it, or correct its name"},
		{"folder of rules that is not there", `rules: "house"`, "house:0", "the folder that the root file names does not exist", "create it, or correct its name"},
		{"folder outside", `registers: "../people"`, "witnessmark.cue:7", `registers: "../people" does not lead to a folder below the root file`, "with forward slashes"},
		{"folder from the top", `equipment: "/srv"`, "witnessmark.cue:7", `equipment: "/srv" does not lead to a folder below the root file`, "with forward slashes"},
		{"folder that is a number", `rules: 3`, "witnessmark.cue:7", "rules has a value of another form than it takes", ""},
		{"empty folder", `jobs: ""`, "witnessmark.cue:7", `jobs: "" does not lead to a folder`, "with forward slashes"},
		{"name that is a number", `name: 3`, "witnessmark.cue:6", "name has two values that contradict each other, in lines 6 and 7", "keep one of the two"},
		{"contact without says", "contacts: {\nservice: says: \"Day line\"\nemergency: telephone: \"0100\"\n}", "witnessmark.cue:9", `the contact "emergency" lacks says`, `add says: "…"`},
		{"contact with nothing", `contacts: emergency: says: " "`, "witnessmark.cue:7", `the contact "emergency" lacks says`, "add says"},
		{"unknown field of a contact", "contacts: emergency: {\nsays: \"x\"\nphone: \"0100\"\n}", "witnessmark.cue:9", "contacts.emergency.phone is no field that belongs here", ""},
		{"contact for capitals", `contacts: Emergency: says: "x"`, "witnessmark.cue:7", "contacts.Emergency is no field that belongs here", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readRootFile(t, c.body)
			faults := append(f.Products.Faults(), f.Faults...)
			require.Len(t, faults, 1, "%v", faultLines(faults))
			assert.Equal(t, c.at, faults[0].At.String())
			assert.Contains(t, faults[0].Message, c.says)
			assert.Contains(t, faults[0].Mend, c.mend)
			assert.NotEmpty(t, faults[0].Mend)
			for _, contact := range f.Contacts {
				assert.NotEmpty(t, contact.Says)
			}
		})
	}
}

// entries is a map of required rule sets with one entry in line 9, over several
// lines, and a sound one behind it.
func entries(body string) string {
	return "required: [\n{\n" + body + "\n},\n{region: \"sound\", rule_sets: [\"us/nec-2023\"], why: \"act 1\"},\n]"
}

// An entry of the map with a mistake is one fault at its line. It is not used,
// the others are; where CUE refuses it, nothing of the root file is.
func TestBrokenEntriesOfTheMap(t *testing.T) {
	const region, sets, why = "region: \"isles\"\n", "rule_sets: [\"us/nec-2023\"]\n", "why: \"council 12\"\n"
	for _, c := range []struct {
		name, body string
		line       int
		says, mend string
		rest       int // entries that are used all the same
	}{
		{"31 February", region + sets + why + "from: \"2026-02-31\"", 12, `required in isles: from: "2026-02-31" is no date`, "write year-month-day, for example 2026-03-11; the entry is not used until then", 1},
		{"month 13", region + sets + why + "from: \"2026-02-01\"\nuntil: \"2026-13-01\"", 13, `required in isles: until: "2026-13-01" is no date`, "the entry is not used until then", 1},
		{"ends before it begins", region + sets + why + "from: \"2026-02-01\"\nuntil: \"2026-01-31\"", 13, "required in isles: it is in force from 2026-02-01 until 2026-01-31, which is never", "correct the dates", 1},
		{"no region", sets + why, 8, "an entry of required lacks region", "add it; the entry is not used until then", 1},
		{"no rule sets", region + why, 8, "an entry of required lacks rule_sets", "add it", 1},
		{"no reason", region + sets, 8, "an entry of required lacks why", "add it", 1},
		{"empty reason for none in force", region + "rule_sets: []\nwhy: \" \"", 11, "required in isles: why is empty", "why nothing is in force", 1},
		{"region that ends in a slash", "region: \"isles/\"\n" + sets + why, 9, "a region has a name on both sides of each slash", "ammerel/tholvane", 1},
		{"region with two slashes", "region: \"isles//east\"\n" + sets + why, 9, "a region has a name on both sides of each slash", "ammerel/tholvane", 1},
		{"day first", region + sets + why + "from: \"11-03-2026\"", 12, "from has a value of another form than it takes", "nothing in this file is applied", 0},
		{"region in capitals", "region: \"Isles\"\n" + sets + why, 9, "region has a value of another form than it takes", "", 0},
		{"rule set in capitals", region + "rule_sets: [\"US/NEC\"]\n" + why, 10, "rule_sets.0 has a value of another form than it takes", "", 0},
		{"occupancy that is none", region + sets + why + "occupancies: [\"shop\", \"dweling\"]", 12, `required in isles: there is no occupancy "dweling"; did you mean "dwelling"?`, "use some of: dwelling", 1},
		{"unknown field", region + sets + why + "form: \"2026-02-01\"", 12, `form is no field that belongs here; did you mean "from"`, "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readRootFile(t, entries(c.body))
			require.Len(t, f.Faults, 1, "%v", faultLines(f.Faults))
			assert.Equal(t, fact.Origin{File: RootFile, Line: c.line}, f.Faults[0].At)
			assert.Equal(t, "broken-definition", f.Faults[0].Code)
			assert.Contains(t, f.Faults[0].Message, c.says)
			assert.Contains(t, f.Faults[0].Mend, c.mend)
			require.Len(t, f.Required, c.rest)
			for _, r := range f.Required {
				assert.Equal(t, "sound", r.Region)
			}
		})
	}
}

// A map as it should be: days inclusive, an open end, an empty list with its reason.
func TestMapOfRequiredRuleSets(t *testing.T) {
	f := readRootFile(t, entries("region: \"isles/east\"\noccupancies: [\"dwelling\", \"farm\"]\nrule_sets: []\nwhy: \"none adopted\"\nfrom: \"2026-02-01\"\nuntil: \"2026-02-01\""))
	require.Empty(t, f.Faults)
	require.Len(t, f.Required, 2)
	r := f.Required[0]
	assert.Equal(t, "isles/east [dwelling farm] [] none adopted witnessmark.cue:8", fmt.Sprint(r.Region, " ", r.Occupancies, " ", r.RuleSets, " ", r.Why, " ", r.At))
	for day, in := range map[string]bool{"2026-01-31": false, "2026-02-01": true, "2026-02-02": false} {
		d, ok := fact.ParseDay(day)
		require.True(t, ok)
		assert.Equal(t, in, r.InForce(d), day)
	}
	assert.True(t, f.Required[1].From == fact.NoDay && f.Required[1].Until == fact.NoDay)
}
