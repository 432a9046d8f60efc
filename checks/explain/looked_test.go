package explain_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/fact"
)

// shippedOnly explains what ships with the tool, without a firm.
func shippedOnly(t *testing.T) (*checks.Library, *explain.Book) {
	t.Helper()
	l, err := checks.OpenLibrary(checks.Options{FS: fstest.MapFS{}})
	require.NoError(t, err)
	return l, l.Explainer()
}

// Facts that decide something say what looks at them, though no limit bounds them
// and no measure is calculated from them.
func TestWhatLooksAtAFact(t *testing.T) {
	_, b := shippedOnly(t)
	for path, want := range map[string]string{
		"joints.stack":                      "Limits of the datasheet of what it names reach this entry along it. It is one of the links that say what its entry belongs to. The stage of what it names says what is due of its entry.",
		"protection.equipment":              "It says whose datasheet holds: its figures are used and its limits are judged; record#datasheet-read asks that it could be read.",
		"inverters.equipment":               "record#datasheet-read",
		"deliveries.equipment":              "record#datasheet-read",
		"rule_sets":                         "by which rule sets the job is judged",
		"dates.permit":                      "sources of limits go by it",
		"dates.designed":                    "by it",
		"dates.installed":                   "record#stage-by-dates holds the stage of the job to it.",
		"dates.surveyed":                    "record#dates-in-order asks that dates.designed is not before it.",
		"dates.completed":                   "record#dates-in-order asks that it is not before dates.energised.",
		"status":                            "counts in no sum",
		"stage":                             "It says what is due",
		"stacks.stage":                      "It says what is due",
		"concessions.limit":                 "record#concession-used",
		"concessions.value":                 "A deviation is accepted only where",
		"concessions.until":                 "accepts nothing any more",
		"concessions.document":              "counts only with a document of the right kind",
		"documents.document":                "counts only with a document of the right kind",
		"documents.valid_until":             "record#dates-in-order asks that it is not before documents.on.",
		"stacks.slots.serial":               "record#serial-unique looks for the same value in every other job. record#serial-form holds it to the form that the datasheet states.",
		"stacks.slots.removed_on":           "record#serial-unique counts stacks.slots.serial until then only.",
		"stacks.controller_serial":          "record#serial-unique",
		"deliveries.serial":                 "record#serial-form",
		"premises.region":                   "record#rule-sets-required",
		"premises.occupancy":                "record#rule-sets-required",
		"premises.id":                       "Sums over the premises",
		"premises.time_zone":                "The day of the run",
		"joints.instrument":                 "record#valid-when-used asks",
		"joints.on":                         "record#valid-when-used takes it as the day on which joints.instrument was used.",
		"crew.person":                       "The firm's register must have the entry that it names.",
		"gates.gate":                        "record#entitled takes it as what gates.by rules on.",
		"gates.on":                          "The gate counts as passed from then on",
		"gates.by":                          "record#entitled asks",
		"sign_offs.of":                      "record#entitled takes it as what sign_offs.by rules on.",
		"adds_to":                           "record#earlier-job",
		"replaces_job":                      "record#earlier-job",
		"job":                               "record#job-number-unique",
		"units.location":                    "limits find facts along it",
		"conductors.protected_by":           "limits find facts along it",
		"conditions.met":                    "record#settled",
		"notices.due_by":                    "record#settled",
		"snags.weight":                      "record#settled",
		"equipment.inverter.serial_pattern": "record#serial-form holds inverters.serial to it.",
	} {
		e, err := b.Explain(path)
		require.NoError(t, err)
		assert.Contains(t, e.Why, want, path)
		assert.NotContains(t, e.Why, "No limit", path)
	}
}

// The sentence for what nothing looks at is kept to that: nothing that the shape
// itself ties to a check has it, and the rest still has.
func TestOnlyWhatNothingLooksAtSaysSo(t *testing.T) {
	l, b := shippedOnly(t)
	none := 0
	for _, leaf := range l.Shape.Leaves {
		e, err := b.Explain(leaf.Path)
		require.NoError(t, err)
		says := strings.Contains(e.Why, "recorded so that the job can be followed")
		looked := leaf.Unique || leaf.Stage || leaf.Past || leaf.After != nil || leaf.Form != nil || leaf.ValidOn != nil || leaf.RulesOn != nil || leaf.Belongs ||
			leaf.Type == fact.Link && leaf.Target.List.IsElsewhere() || strings.HasPrefix(leaf.Path, "concessions.") && leaf.Type != fact.Key
		assert.False(t, says && (looked || leaf.Calculation != nil || leaf.Scope.List.IsElsewhere()), "%s: %s", leaf.Path, e.Why)
		if says {
			none++
		}
	}
	assert.Greater(t, none, 50)
	assert.Contains(t, explainedBy(t, b, "gates.remark").Why, "No limit in use looks at it; it is recorded")
	assert.Contains(t, explainedBy(t, b, "equipment.fastener.coating").Why, "it is what the datasheet states")
}

// What the engine reads by its name is there.
func TestWhatIsReadByNameIsInTheShape(t *testing.T) {
	l, _ := shippedOnly(t)
	for path := range explain.ReadBy() {
		assert.NotNil(t, l.Shape.Leaf(path), path)
	}
}

func explainedBy(t *testing.T, b *explain.Book, name string) *explain.Explanation {
	t.Helper()
	e, err := b.Explain(name)
	require.NoError(t, err)
	return e
}

// What a field's attributes mean for whoever writes it is said in its notes.
func TestNotesOfFields(t *testing.T) {
	_, b := shippedOnly(t)
	assert.Contains(t, explainedBy(t, b, "joints.stack").Notes, "It need not be written where joints.inverter or joints.device says what the entry belongs to: one of them is enough.")
	assert.Contains(t, explainedBy(t, b, "stacks.slots.serial").Notes, "From the day in stacks.slots.removed_on on it no longer counts as standing here, and may stand elsewhere.")
	assert.Contains(t, explainedBy(t, b, "stacks.slots.serial").Notes, "It must match the pattern in stacks.equipment.module.serial_pattern, where the datasheet states one.")
	for _, n := range explainedBy(t, b, "stacks.wall_gap").Notes {
		assert.Contains(t, n, "No root file")
	}
}
