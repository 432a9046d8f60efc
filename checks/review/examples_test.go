package review_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReviewOfExamples(t *testing.T) {
	t.Parallel()
	with := func(limit, within, outside string) firm {
		return policyWith(`limits: a: {` + limit + `
		examples: {
			within: [
				` + within + `
			]
			outside: [
				` + outside + `
			]
		}
	}`)
	}
	const gap, count = gapLimit + `, within: >=20 & <=40`, `measure: "stacks.modules", unit: "modules", within: <=7`
	runReviewCases(t, []reviewCase{
		{"outside as within", with(gap, `"19 mm", // want: example-wrong`, `"41 mm"`), `"19 mm"`, `"20 mm"`},
		{"within as outside", with(gap, `"22 mm ± 1 mm", "1 in"`, `"4.1 cm", "40 mm", // want: example-wrong`), `"40 mm"`, `"40.1 mm"`},
		{"no unit of a length", with(gap, `"22 kg", // want: example-unreadable`, `"41 mm"`), `22 kg`, `22 mm`},
		{"no unit", with(gap, `"22", // want: example-unreadable`, `"41 mm"`), `"22"`, `"22 mm"`},
		{"count", with(count, `"7 modules"`, `"7", // want: example-wrong`), `"7",`, `"8",`},
		{"half a module", with(count, `"6.5", // want: example-unreadable`, `"8"`), `6.5`, `6`},
		{"no such word", with(`measure: "locations.setting", within: !="basement"`, `"cellar", // want: example-unreadable`, `"basement"`), `cellar`, `plant room`},
		{"the wrong word", with(`measure: "locations.setting", within: !="basement"`, `"basement", // want: example-wrong`, `"basement"`), `"basement", // want`, `"plant room", // want`},
		{"yes and no", with(`measure: "units.listed", within: true`, `"no", // want: example-wrong`, `"false"`), `"no"`, `"yes"`},
		{"where it does not apply", with(gap+`, when: stacks: wall_gap: >10`, `"22 mm"`, `"9 mm", // want: example-elsewhere`), `"9 mm"`, `"19 mm"`},
		{"as printed in the other system", with(`measure: "stacks.clearance.front", within: >=3, unit: "ft", printed: {within: >=900, unit: "mm"}`, `"3 ft", "900 mm"`, `"35 in", "914 mm", // want: example-wrong`), `914 mm`, `899 mm`},
	})
}

// A limit of which an example has to be stated, since none can be made.
func TestReviewOfMissingExamples(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"a pattern in free text", policyWith(`limits: a: {measure: "units.marking", within: =~"^A-[0-9]+/[0-9]{4}$"} // want: no-example`),
			`[0-9]{4}$"}`, `[0-9]{4}$", examples: within: ["A-1/2026"]}`},
	})
}

// A figure that equipment data lacks is reported as that, not once more for each
// limit that waits on it.
func TestMissingFigureIsNoMissingExample(t *testing.T) {
	t.Parallel()
	f := policyWith(``).with("equipment/oar.cue", product("oar", "A", `"above": {measure: "stacks.clearance.above", unit: "mm", within: >=facts.stacks.equipment.dimensions.depth}`))
	f = f.with("equipment/oar.cue", strings.Replace(f["equipment/oar.cue"], "import (", "import (\n\t\"witnessmark.example/schema/facts\"", 1))
	assert.Contains(t, missing(t, f)["dimensions.depth"].Message, "equipment/oar@A#above cannot be judged")
	assert.Empty(t, ofTheFirm(reviewed(t, f)))
	whole := f.with("equipment/oar.cue", strings.Replace(f["equipment/oar.cue"], "\tlimits:", "\tdimensions: depth: \"210 mm\"\n\tlimits:", 1))
	assert.NotContains(t, missing(t, whole), "dimensions.depth")
	assert.Empty(t, ofTheFirm(reviewed(t, whole)))
}
