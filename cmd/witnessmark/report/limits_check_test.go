package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/review"
)

// reviewOf is a review with remarks whose texts are as foreign as can be.
func reviewOf(remarks ...review.Remark) *checks.Review {
	day, _ := fact.ParseDay("2026-11-25")
	return &checks.Review{Remarks: remarks, Limits: 3, RuleSets: 2, Shipped: 1, Products: 1, Revisions: 2, Entries: 1, Unchecked: 1,
		Firm: "F ::x::", AsOf: checks.AsOf{Date: day}, Notes: review.Notes()}
}

func hostileRemarks() []review.Remark {
	return []review.Remark{
		{At: fact.Origin{File: "::error file=x::\x1b[31m.cue", Line: 3}, Code: "broken-limit", Message: "a\r\n::error::b \u202e \xff", Mend: "##[error]", Breaks: true},
		{At: fact.Origin{File: "b.cue"}, Code: "limit-weaker", Message: `"quoted" \ back`, Mend: ""},
	}
}

func TestLimitsCheckJSONFitsItsSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(LimitsCheckSchema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("limits_check.schema.json", doc))
	schema, err := c.Compile("limits_check.schema.json")
	require.NoError(t, err)
	for _, r := range []*checks.Review{reviewOf(), reviewOf(hostileRemarks()...)} {
		text := LimitsCheckJSON(r, "1.2.3")
		one, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err, "%s", text)
		assert.NoError(t, schema.Validate(one))
		assert.NotContains(t, string(text), "\x1b")
		assert.NotContains(t, string(text), "##[")
	}
}

func TestLimitsCheckTextSteersNothing(t *testing.T) {
	text := string(LimitsCheckText(reviewOf(hostileRemarks()...), Settings{}))
	assert.NotContains(t, text, "\x1b")
	assert.NotContains(t, text, "\r")
	assert.NotContains(t, text, "::error")
	assert.NotContains(t, text, "##[")
	lines := strings.Split(text, "\n")
	assert.True(t, strings.HasPrefix(lines[0], `\u003a`), lines[0])
	assert.Contains(t, lines[0], `.cue:3: broken-limit: a`)
	assert.Equal(t, `b.cue: limit-weaker: "quoted" \ back`, lines[2], "no line, no mend: neither is invented")
	assert.Contains(t, text, "1 thing is broken, so that something is not applied or cannot be met; 1 more to mend.\n")
	assert.Contains(t, text, "Stated examples of 1 limit whose bounds are facts")
}

func TestLimitsCheckTextInColour(t *testing.T) {
	plain := string(LimitsCheckText(reviewOf(review.Remark{At: fact.Origin{File: "b.cue", Line: 1}, Code: "limit-weaker", Message: "m", Mend: "n"}), Settings{}))
	coloured := string(LimitsCheckText(reviewOf(review.Remark{At: fact.Origin{File: "b.cue", Line: 1}, Code: "limit-weaker", Message: "m", Mend: "n"}), Settings{Colour: true}))
	assert.NotEqual(t, plain, coloured)
	assert.Contains(t, coloured, "\x1b[")
	assert.Contains(t, plain, "1 thing to mend; every limit is applied as it is written.\n")
}
