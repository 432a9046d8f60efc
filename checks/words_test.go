package checks

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
)

// readBare is the text of a word written without quotes in braces and in brackets,
// where most characters of YAML count; a fault where it is not read as one value.
func readBare(t *testing.T, word string) (inBraces, inBrackets string) {
	t.Helper()
	file, problems := jobfile.Read("job.yaml", []byte("a: {field: "+word+", next: 1}\nb: ["+word+", next]\n"), jobfile.Limits{})
	if !assert.Empty(t, problems, "%q", word) || !assert.Len(t, file.Root.Fields, 2, "%q", word) {
		return "", ""
	}
	braces, brackets := file.Root.Fields[0].Value, file.Root.Fields[1].Value
	if !assert.Len(t, braces.Fields, 2, "%q in braces", word) || !assert.Len(t, brackets.Items, 2, "%q in brackets", word) {
		return "", ""
	}
	for _, n := range []*jobfile.Node{braces.Fields[0].Value, brackets.Items[0]} {
		assert.Equal(t, jobfile.Scalar, n.Kind, "%q", word)
		assert.Equal(t, jobfile.Plain, n.Style, "%q", word)
	}
	return braces.Fields[0].Value.Text, brackets.Items[0].Text
}

// Every word of every enumeration can be written as it is, in the short style too:
// whoever copies it from a message must not have to think of quotes.
func TestWordsNeedNoQuotes(t *testing.T) {
	seen := map[string]bool{}
	for _, l := range shapeOf(t).Leaves {
		for _, word := range l.Words {
			if seen[word] {
				continue
			}
			seen[word] = true
			inBraces, inBrackets := readBare(t, word)
			assert.Equal(t, word, inBraces, "%s: in braces", l.Path)
			assert.Equal(t, word, inBrackets, "%s: in brackets", l.Path)
		}
	}
	assert.Greater(t, len(seen), 500)
}

// leafOf is a field that ships, by its path.
func leafOf(t *testing.T, path string) *fact.Leaf {
	t.Helper()
	for _, l := range shapeOf(t).Leaves {
		if l.Path == path {
			return l
		}
	}
	require.Fail(t, "no such field", path)
	return nil
}

// A datasheet can say of a product whatever a job can say of what was used.
func TestEquipmentKnowsTheWordsOfAJob(t *testing.T) {
	for inJob, ofProduct := range map[string]string{
		"conductors.material":        "equipment.conductor.material",
		"conductors.insulation_type": "equipment.conductor.insulation_type",
		"joints.class":               "equipment.fastener.class",
	} {
		assert.Equal(t, leafOf(t, inJob).Words, leafOf(t, ofProduct).Words, inJob)
	}
}

// A step of switching on or off says what is done to what, or how long to wait.
func TestStepsOfSwitching(t *testing.T) {
	for _, path := range []string{"equipment.storage.switch_on", "equipment.storage.switch_off"} {
		l := leafOf(t, path)
		pattern, err := regexp.Compile(l.Pattern)
		require.NoError(t, err)
		assert.True(t, pattern.MatchString(l.Example), l.Example)
		for _, step := range []string{"close stack breaker", "wait 60 s", "wait 5 min", "wait inverter 5 min", "press stack controller 5 s", "read display", "wait controller"} {
			assert.True(t, pattern.MatchString(step), step)
		}
		for _, step := range []string{"", "wait", "wait 60", "wait s 60", "wait 60 h", "wait  60 s", "close", "close 60 s", "close  ", "turn key", "wait 60 s then"} {
			assert.False(t, pattern.MatchString(step), step)
		}
	}
}

// What is said of a field that takes true or false is a statement, no amount.
func TestTruthsAreStatements(t *testing.T) {
	amount := regexp.MustCompile(`^(Highest|Lowest|Largest|Smallest|Greatest|Longest|Shortest|Length|Height|Width|Number|Time|Distance) `)
	for _, l := range shapeOf(t).Leaves {
		if l.Type == fact.Truth {
			assert.False(t, amount.MatchString(strings.TrimSpace(l.Meaning)), "%s: %s", l.Path, l.Meaning)
		}
	}
}
