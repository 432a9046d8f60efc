package report

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// told is what the text report says of one thing, taken apart: its first line, and
// the named items under it.
type told struct {
	head  string
	items []toldItem
}

type toldItem struct{ name, text string }

// teller makes a writer whose words told takes apart.
func teller(job *checks.Job, asOf fact.Day) *jobWriter {
	asIs := func(file string) string { return file }
	t := &lines{marked: true, path: asIs, asOf: asOf}
	w := &jobWriter{lines: t, sink: &textSink{path: asIs}, job: job}
	if job != nil {
		w.file = job.File
	}
	return w
}

// tell runs write and takes apart what it wrote, one for each first line.
func (t *lines) tell(write func()) []told {
	kept := t.b
	t.b = nil
	write()
	text := string(t.b)
	t.b = kept
	var out []told
	for _, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		rest, isItem := strings.CutPrefix(line, string(itemMark))
		switch {
		case isItem && len(out) > 0:
			name, text, _ := strings.Cut(rest, string(nameMark))
			last := &out[len(out)-1]
			last.items = append(last.items, toldItem{name, text})
		case strings.TrimSpace(line) != "":
			out = append(out, told{head: strings.TrimSpace(line)})
		}
	}
	return out
}

// sentence runs write and returns what it wrote, as one line.
func (t *lines) sentence(write func()) string {
	kept := t.b
	t.b = nil
	write()
	text := strings.TrimSpace(string(t.b))
	t.b = kept
	return text
}
