package report

import (
	"bytes"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// calculateRope calculates what an invented rope bears.
func calculateRope(t *testing.T, given ...checks.Given) (*checks.Calculated, error) {
	t.Helper()
	l := &checks.Library{Shape: ropeRun(t).shape}
	m, err := l.Measure("bears")
	require.NoError(t, err)
	return l.Calculate(m, given)
}

func TestCalculatedText(t *testing.T) {
	c, err := calculateRope(t, checks.Given{Key: "d", Value: "1.2 cm"}, checks.Given{Key: "strands", Value: "3"})
	require.NoError(t, err)
	assert.Equal(t, `what the rope bears (ropes.bears) is 60 kg
  calculated  what the rope bears (ropes.bears)
    formula   m_table · k · s
    d       = 1.2 cm     ropes.size, given
    s       = 3 strands  ropes.strands, given
    m_table = 40 kg      Harbour tables 2021, table 3
    k       = 0.5        Harbour tables 2021, 3.2
    result  = 60 kg
    source    Harbour tables 2021, 3.1
    valid     Dry ropes only.
`+calculateCaution+"\n", string(CalculatedText(c, Settings{})))
	c, err = calculateRope(t, checks.Given{Key: "d", Value: "12 mm"})
	require.NoError(t, err)
	assert.Contains(t, string(CalculatedText(c, Settings{})), "    s       = not recorded  ropes.strands, not given\n")
}

// What the calculation itself refuses is told with what went in.
func TestNotCalculatedText(t *testing.T) {
	_, err := calculateRope(t, checks.Given{Key: "d", Value: "9 mm"})
	var not *checks.NotCalculated
	require.ErrorAs(t, err, &not)
	assert.Equal(t, `witnessmark: what the rope bears (ropes.bears) cannot be calculated: 9 mm is no size of the table
  calculated  what the rope bears (ropes.bears)
    formula   m_table · k · s
    d       = 9 mm          ropes.size, given
    s       = not recorded  ropes.strands, not given
    result  = none          9 mm is no size of the table
    source    Harbour tables 2021, 3.1
    valid     Dry ropes only.
`, string(NotCalculatedText(not, Settings{})))
	_, err = calculateRope(t, checks.Given{Key: "::d\x1b[31m", Value: "9 mm"})
	require.ErrorAs(t, err, &not)
	text := string(NotCalculatedText(not, Settings{}))
	assert.NotContains(t, text, "\x1b")
	assert.NotContains(t, text, "::")
}

func TestCalculateJSONMeetsItsSchema(t *testing.T) {
	c := jsonschema.NewCompiler()
	for name, text := range map[string][]byte{"https://witnessmark.example/schema/lint-1.json": Schema, "https://witnessmark.example/schema/calculate-1.json": CalculateSchema} {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err)
		require.NoError(t, c.AddResource(name, doc))
	}
	schema, err := c.Compile("https://witnessmark.example/schema/calculate-1.json")
	require.NoError(t, err)
	check := func(text []byte) error {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err, "%s", text)
		return schema.Validate(doc)
	}
	result, err := calculateRope(t, checks.Given{Key: "d", Value: "1.2 cm"})
	require.NoError(t, err)
	good := CalculatedJSON(result, "1.2.3")
	require.NoError(t, check(good))
	assert.Contains(t, string(good), `"value":20,"unit":"kg","calculations":[`)
	for _, c := range []struct{ key, value, want string }{
		{"d", "9 mm", `"mistakes":[],"missing":[],"reason":"9 mm is no size of the table","needs":[`},
		{"strands", "3", `"mistakes":[],"missing":["ropes.size"],"needs":[`},
		{"dd", "3", `"mistakes":["nothing called`},
	} {
		_, err := calculateRope(t, checks.Given{Key: c.key, Value: c.value})
		var not *checks.NotCalculated
		require.ErrorAs(t, err, &not)
		text := NotCalculatedJSON(not, "1.2.3")
		require.NoError(t, check(text))
		assert.Contains(t, string(text), c.want)
		assert.Contains(t, string(text), `{"fact":"ropes.strands","symbols":["s"],`)
	}
	l := &checks.Library{Shape: ropeRun(t).shape}
	require.NoError(t, check(MeasuresJSON(l.Measures(""), nil, "1.2.3")))
	assert.Error(t, check(bytes.Replace(good, []byte(`"value":20,`), nil, 1)))
	assert.Error(t, check(bytes.Replace(good, []byte(`"caution"`), []byte(`"warning"`), 1)))
}
