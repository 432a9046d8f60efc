package report

import (
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
)

// wrapped writes one line by a function at a width.
func wrapped(width int, colour bool, write func(t *lines)) string {
	t := &lines{paint: newPalette(colour), wrapping: wrapping{width: width}}
	write(t)
	t.end()
	return string(t.b)
}

func TestWrap(t *testing.T) {
	item := func(text string) func(*lines) {
		return func(t *lines) { t.item("why").from(text) }
	}
	place := func(path, text string) func(*lines) {
		return func(t *lines) { t.place(path, jobfile.Position{Line: 12, Column: 7}).from(text) }
	}
	for _, c := range []struct {
		name  string
		width int
		write func(*lines)
		want  string
	}{
		{"never", 0, item(strings.Repeat("word ", 60)), "  why         " + strings.Repeat("word ", 60) + "\n"},
		{"fits to the last column", 40, item("a sentence of just so many"), "  why         a sentence of just so many\n"},
		{"one column more", 40, item("a sentence of just so many."), "  why         a sentence of just so\n              many.\n"},
		{"wide characters take two columns", 40, item("安全 安全 安全 安全 安全 安全 安全"), "  why         安全 安全 安全 安全 安全\n              安全 安全\n"},
		{"marks on letters take none", 40, item("e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301"), "  why         e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301e\u0301 e\u0301e\u0301e\u0301e\u0301e\u0301\n"},
		{"a word longer than a line", 40, item(strings.Repeat("x", 60) + " end"), "  why         " + strings.Repeat("x", 26) + "\n              " + strings.Repeat("x", 26) + "\n              xxxxxxxx end\n"},
		{"a place stays whole", 30, place("jobs/with two blanks and more/a b.yaml", "outside: too far"), "jobs/with two blanks and more/a b.yaml:12:7:\n    outside: too far\n"},
		{"what goes on behind a place is indented", 40, place("jobs/a.yaml", "outside: gap to the wall is 44 mm"), "jobs/a.yaml:12:7: outside: gap to the\n    wall is 44 mm\n"},
		{"little room: little indentation", 24, item("a sentence of so many"), "  why         a sentence\n    of so many\n"},
		{"a defined place stays whole", 40, func(t *lines) {
			t.item("also").own("defined in ")
			t.keep(len(t.b), len(t.b)+len("rules/my own rules.cue:12"))
			t.own("rules/my own rules.cue:12")
		}, "  also        defined in\n              rules/my own rules.cue:12\n"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, wrapped(c.width, false, c.write)) })
	}
}

// A whole report at any width: every line fits unless it is one that must stay in one
// piece, what goes on is indented, nothing is lost, and colour changes no break.
func TestWrapWholeReport(t *testing.T) {
	job := strings.Replace(edited("air: 20 °C", "air: 50 °C", "    setting: garage\n", "", "above: 900 mm", "above: 700 mm"), "note: ok", "note: 壁からの距離 "+strings.Repeat("z", 90), 1)
	words := func(s string) string { return strings.Join(strings.Fields(stripColour(s)), "") }
	for _, s := range []Settings{{Calculations: true}, {Quiet: true}, {Summary: true}, {Headings: true}} {
		plain := newTestRun(t).write(t, "text", s, "jobs/a.yaml", job)
		for width := 20; width < 200; width += 13 {
			s.Width = width
			out := newTestRun(t).write(t, "text", s, "jobs/a.yaml", job)
			require.Equal(t, words(plain), words(out), width)
			for line := range strings.Lines(out) {
				line = strings.TrimSuffix(line, "\n")
				if uniseg.StringWidth(line) > width {
					assert.Regexp(t, `^(jobs/a\.yaml(:\d+)*:| *(Defined in )?rules/test\.cue:\d+)$`, line, "at %d", width)
				}
				assert.Equal(t, strings.TrimRight(line, " "), line, "at %d", width)
				assert.Regexp(t, `^(  |jobs/a\.yaml:|Job |Totals|Work on|\d+ comparisons|$)`, line, "at %d", width)
			}
			s.Colour = true
			assert.Equal(t, out, stripColour(newTestRun(t).write(t, "text", s, "jobs/a.yaml", job)), "colour at %d", width)
			s.Colour = false
		}
	}
}

// Whatever a file has in it, at any width nothing of it is lost, and no line begins
// with it.
func FuzzWrap(f *testing.F) {
	f.Add("a word and 安全, e\u0301, 👩‍🔧 and so on", uint8(30))
	f.Add("jobs/a.yaml:3:4: outside: ::error::x ##[y", uint8(20))
	f.Add(strings.Repeat("x", 70)+" ## [", uint8(40))
	f.Add("\x1b[31m\u202e\xff  two  blanks ", uint8(25))
	f.Fuzz(func(t *testing.T, text string, columns uint8) {
		width := max(int(columns), 20)
		write := func(t *lines) { t.place("jobs/a b.yaml", jobfile.Position{Line: 3}).own("outside: ").from(text) }
		plain, out := wrapped(0, false, write), wrapped(width, false, write)
		if strings.ReplaceAll(plain, " ", "") != strings.ReplaceAll(strings.ReplaceAll(out, "\n", ""), " ", "")+"\n" {
			t.Fatalf("%q became %q", plain, out)
		}
		for i, line := range strings.Split(strings.TrimSuffix(out, "\n"), "\n") {
			if i > 0 && !strings.HasPrefix(line, "    ") || i == 0 && !strings.HasPrefix(line, "jobs/a b.yaml:3:") {
				t.Fatalf("%q", line)
			}
			if n := uniseg.StringWidth(line); n > width+2 { // a character of two columns at the edge
				t.Fatalf("%d columns of %d: %q", n, width, line)
			}
		}
	})
}
