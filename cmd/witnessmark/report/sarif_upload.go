package report

import (
	"io"
	"slices"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// sarifMost is how many results of a run the host keeps.
const sarifMost = 5000

// sarifUpload writes the log for the host: what is open and nothing else, since the
// host shows every result as something to mend.
type sarifUpload struct {
	stream
	openSink
	path func(string) string
	most int
}

// NewSARIF returns the sink of the SARIF log that is uploaded to the host.
func NewSARIF(w io.Writer, s Settings) checks.Sink {
	return &sarifUpload{openSink: openSink{since: s.Since}, stream: newStream(w), path: s.pathOf(), most: sarifMost}
}

// End writes the log. Where the host would not keep all of it, the worst findings are
// kept, and a notification says what was left out.
func (s *sarifUpload) End(r *checks.Run) error {
	all := s.all(r)
	var kept []int
	left, accepted := map[judge.Kind]int{}, 0
	for _, i := range worstOrder(all) {
		switch {
		case all[i].Kind == judge.Accepted:
			accepted++
		case len(kept) < s.most:
			kept = append(kept, i)
		default:
			left[all[i].Kind]++
		}
	}
	slices.SortStableFunc(kept, func(a, b int) int { return inOrderOfPlace(&all[a], &all[b]) })
	if err := s.write(sarifBegin("lint", r)); err != nil {
		return err
	}
	limits, wanted := limitsByName(r), map[string]bool{}
	j := &jsonText{b: []byte("[")}
	for _, i := range kept {
		o := &all[i]
		wanted[o.Name] = true
		sarifOpen(j.line(), o, limits[o.Name], s.path, true)
	}
	if err := s.write(j.b[1:]); err != nil {
		return err
	}
	e := &sarifEnd{run: r, path: s.path, rules: sarifRules(r, wanted, problemNames(wanted))}
	if n := len(all) - accepted - len(kept); n > 0 {
		e.notes = append(e.notes, sarifNote{level: "warning", text: plural(n, "finding was", "findings were") + " left out, since the host keeps no more: " + kindList(left) + ". The other reports have everything."})
	}
	if accepted > 0 {
		e.notes = append(e.notes, sarifNote{level: "note", text: plural(accepted, "deviation is", "deviations are") + " accepted by a concession and left out here; sarif-audit has them."})
	}
	e.notes = append(e.notes, sarifNotesSince(s.since)...)
	e.notes = append(e.notes, sarifNote{level: "note", text: figures(r)})
	return s.end(e.write())
}

// problemNames lists those of the names that are kinds of problems.
func problemNames(names map[string]bool) []string {
	var out []string
	for n := range names {
		if strings.HasPrefix(n, "problem/") {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out
}

// inOrderOfPlace orders findings by file, line, column and name, so that a log does not
// depend on anything else.
func inOrderOfPlace(a, b *Open) int {
	if c := strings.Compare(a.File, b.File); c != 0 {
		return c
	}
	if a.Line != b.Line {
		return a.Line - b.Line
	}
	if a.Column != b.Column {
		return a.Column - b.Column
	}
	return strings.Compare(a.Name, b.Name)
}
