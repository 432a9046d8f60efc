package pages

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// signsOf cuts the drawings of labels out of a page.
func signsOf(t *testing.T, page string) []string {
	t.Helper()
	parts := strings.Split(page, `<figure class="sign">`)[1:]
	require.NotEmpty(t, parts)
	return parts
}

func TestLabels(t *testing.T) {
	page := onePage(t, job("en, fr", "iec/60364"))["labels"]
	signs := signsOf(t, page)
	require.Len(t, signs, 4)

	assert.Regexp(t, `width="[\d.]+mm" height="[\d.]+mm"`, signs[0])
	assert.Contains(t, signs[0], `font-size="13.97"`, "capitals of 10 mm")
	assert.Contains(t, signs[0], `fill="#b00016"`)
	assert.Less(t, strings.Index(signs[0], `lang="fr"`), strings.Index(signs[0], `lang="en"`), "the language of the label first")
	assert.Contains(t, text("<body>"+signs[0]), "Letter height 10 mm Colours white on red Language fr Fitted yes")

	assert.Contains(t, signs[1], "the recorded letter height does not fit this sheet; drawn at 60 mm")
	assert.Contains(t, signs[1], "textLength", "a word too wide is squeezed")
	assert.Contains(t, text("<body>"+signs[1]), "345.6 V DC")
	assert.Contains(t, signs[1], "Fitted</b> <strong>no</strong>")
	assert.Contains(t, signs[1], "________", "the current is not known without a datasheet's figure")

	assert.Contains(t, signs[2], "letter height not recorded; drawn at 5 mm")
	got := text("<body>" + signs[2])
	assert.Contains(t, got, "1. Open: grid switch 2. Wait: inverter, 5 min 3. Press: red lever")
	assert.Contains(t, got, "1. Ouvrir : interrupteur du réseau 2. Attendre : onduleur, 5 min 3. Appuyer : red lever", "what is no word of the shape stays as it is")

	assert.Contains(t, text("<body>"+signs[3]), "Diameter 80 mm")
	assert.Contains(t, signs[3], `r="39.5"`, "80 mm across with its line")
}

// The directory has every source of the job; what is not known of one is a line.
func TestDirectoryOfSources(t *testing.T) {
	text4 := strings.Replace(job("en", "iec/60364"), "says: no naked flame", "says: directory of sources", 1) + "existing:\n  - {id: old, kind: lead-acid}\ngeneration:\n  - {id: roof, kind: photovoltaic, location: pier}\n"
	got := text("<body>" + signsOf(t, onePage(t, text4)["labels"])[3])
	for _, want := range []string{"public grid; switched off at: ____", "battery storage U1, boat-store; switched off at: ____", "lead-acid battery, __________; switched", "photovoltaics, pier; switched"} {
		assert.Contains(t, got, want)
	}
	island := strings.Replace(text4, "supply:\n", "supply:\n  system: island\n", 1)
	assert.NotContains(t, onePage(t, island)["labels"], "public grid")
}

// Where the datasheets of stacks differ, no order of switching off is right for all.
func TestProcedureOfUnequalStacks(t *testing.T) {
	other := strings.Replace(strings.Replace(productFile, "morvane", "tallow", 1), "open grid switch", "open stack breaker", 1)
	two := strings.Replace(job("en", "iec/60364"), "supply:\n", "  - {id: B, equipment: {planned: tallow@B, built: tallow@B}, modules: {planned: 6, built: 6}}\nsupply:\n", 1)
	page := pagesOf(t, map[string]string{"jobs/a.yaml": two, "equipment/tallow.cue": other})["labels"]
	assert.Contains(t, text("<body>"+signsOf(t, page)[2]), "1. ________ (to be filled in on site) 2. ________")
}

// Every label of the shape can be drawn, in every language, and shows its text.
func TestEveryLabel(t *testing.T) {
	says := shapeOf(t).Leaf("labels.says")
	require.NotNil(t, says)
	head, _, _ := strings.Cut(job("de, es", "iec/60364"), "labels:")
	var b strings.Builder
	b.WriteString(head + "labels:\n")
	for _, word := range says.Words {
		b.WriteString("  - {id: \"" + word + "\", says: " + word + ", place: wall, letters: 3 mm, fitted: true}\n")
	}
	signs := signsOf(t, onePage(t, b.String())["labels"])
	require.Len(t, signs, len(says.Words))
	lines := regexp.MustCompile(`<text [^>]*lang="(\w+)"[^>]*>([^<]*)</text>`)
	for i, word := range says.Words {
		got := map[string]string{}
		for _, m := range lines.FindAllStringSubmatch(signs[i], -1) {
			got[m[1]] = strings.TrimSpace(got[m[1]] + " " + m[2])
		}
		for _, tag := range []string{"de", "es"} {
			want := html.EscapeString(tongueFor(tag).T("sign/" + word))
			assert.True(t, strings.HasPrefix(got[tag], want), "%s in %s: %s", word, tag, got[tag])
		}
		assert.Len(t, got, 2)
	}
}

// A text breaks at spaces only, and every line is as wide as the room or one word.
func TestBroken(t *testing.T) {
	assert.Equal(t, []string{"aaa bbb", "ccc"}, broken("aaa bbb ccc", 4.2, false))
	assert.Equal(t, []string{"aaaaaaaaaaaa", "b"}, broken("aaaaaaaaaaaa b", 2, false))
	assert.Equal(t, []string{""}, broken("", 2, false))
}
