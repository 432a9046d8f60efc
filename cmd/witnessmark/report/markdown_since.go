package report

import (
	"strconv"

	"witnessmark.example/checks/judge"
)

// newTitle stands above the findings that are told in full.
func (p *markdownPage) newTitle() string {
	c := p.sink.since
	switch {
	case c == nil:
		return ""
	case c.Totals.KnownProblems > 0:
		return "## New since the base, and problems that were known\n\n"
	case len(p.all) == 0:
		return "## New since the base\n\nNothing is new.\n\n"
	}
	return "## New since the base\n\n"
}

// sinceHeading writes with what the run was compared, and what was not.
func (p *markdownPage) sinceHeading(m *mark) {
	c := p.sink.since
	if c == nil {
		return
	}
	m.own("- ").text(clip(sentenceCase(sinceSentence(c)))).own(".\n")
	for _, n := range c.Notes {
		m.own("- Not compared: ").text(clip(n)).own("\n")
	}
	if p.same > 0 {
		m.own("- Not listed: ", plural(p.same, "job", "jobs"), " without findings whose file is as it was in the base.\n")
	}
}

// knownLines are what the jobs had in the base already, counted: a line for each job, the
// job with the worst first. All are those findings, worst first, and of their jobs.
func (p *markdownPage) knownLines(all []Open) (lines [][]byte) {
	counts, at := map[string]*[2][judge.Accepted + 1]int{}, []string(nil)
	for _, i := range worstOrder(all) {
		o := &all[i]
		of := o.Job
		if o.File != "" {
			of = o.File
		}
		if counts[of] == nil {
			counts[of], at = new([2][judge.Accepted + 1]int), append(at, of)
		}
		counts[of][0][o.Kind]++
		if o.Blocking {
			counts[of][1][o.Kind]++
		}
	}
	said := map[string]*openJob{}
	for i := range p.sink.jobs {
		if j := &p.sink.jobs[i]; !j.Same {
			said[j.File] = j
		}
	}
	for _, of := range at {
		m := new(mark).own("- ")
		if of != "" {
			m.code(clip(p.sink.path(of))).own(": ")
		}
		m.own(kindCounts(&counts[of][0], &counts[of][1]), ".")
		if j := said[of]; j != nil && !p.shown[of] { // else it is said above
			for _, s := range j.Said {
				m.own(" ").text(clip(s))
			}
		}
		lines = append(lines, m.own("\n").b)
	}
	return lines
}

// kindCounts writes how many findings there are of each kind, and of them blocking.
func kindCounts(all, blocking *[judge.Accepted + 1]int) string {
	text := ""
	for _, k := range append([]judge.Kind{0}, judge.Kinds()...) {
		if all[k] == 0 {
			continue
		}
		if text != "" {
			text += ", "
		}
		word := (&Open{Kind: k}).Outcome()
		if text += plural(all[k], word, word); blocking[k] > 0 {
			text += " (" + strconv.Itoa(blocking[k]) + " blocking)"
		}
	}
	return text
}

// list writes lines under a title, as far as there is room, and returns how many are
// left out.
func list(out []byte, title string, lines [][]byte, room *int) ([]byte, int) {
	kept := []byte(nil)
	left := 0
	for _, l := range lines {
		if len(l) > *room {
			left++
			continue
		}
		*room -= len(l)
		kept = append(kept, l...)
	}
	if len(kept) > 0 {
		out = append(append(append(out, title...), kept...), '\n')
	}
	return out, left
}

// leftList are what is gone and what is fixed, as lines of a list.
func (p *markdownPage) leftList() (out [][]byte) {
	gone, fixed := leftLines(p.sink.since, p.sink.path)
	for _, l := range append(gone, fixed...) {
		out = append(out, new(mark).own("- ").text(clip(l)).own("\n").b)
	}
	return out
}

const (
	leftTitle  = "## Fixed and gone since the base\n\n"
	knownTitle = "## Known since the base\n\n"
)
