package report

import (
	"bytes"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// markdownPage is the page while it is put together. Where it would grow too large,
// the findings are kept worst first, then jobs without findings in their order, and
// the page says what it leaves out.
type markdownPage struct {
	sink   *markdownSink
	run    *checks.Run
	all    []Open
	groups []markdownGroup
	of     []int  // group of each of all
	kept   []bool // of all
	clean  [][]byte
	shown  map[string]bool // files of jobs with a section
	known  []Open          // that are only counted
	same   int             // jobs with nothing to look at in which nothing differs from the base
}

// markdownGroup is a job with something to look at, or what stands beside the jobs.
type markdownGroup struct {
	name    string // for what is cut
	opening []byte
	rows    int // that are kept
}

// cutSize is the room for saying what is left out.
const cutSize = 3000

func newMarkdownPage(s *markdownSink, r *checks.Run) *markdownPage {
	p := &markdownPage{sink: s, run: r, shown: map[string]bool{}}
	all, at := s.all(r), 0
	keep := func(o Open, group int) {
		if o.inFull() {
			p.all, p.of = append(p.all, o), append(p.of, group)
		} else {
			p.known = append(p.known, o)
		}
	}
	for i := range s.jobs {
		j := &s.jobs[i]
		if len(j.Open) == 0 && j.Same {
			p.same++
			continue
		}
		if len(j.Open) == 0 {
			p.clean = append(p.clean, p.cleanJob(j))
			continue
		}
		before := len(p.all)
		for range j.Open {
			keep(all[at], len(p.groups))
			at++
		}
		if len(p.all) > before {
			p.shown[j.File] = true
			p.groups = append(p.groups, markdownGroup{name: orFile(j), opening: p.opening(j)})
		}
	}
	across, rest := len(p.groups), len(p.groups)+1
	p.groups = append(p.groups, markdownGroup{name: "across jobs", opening: []byte("### Across jobs\n" + tableHead)},
		markdownGroup{name: "the run as a whole, definitions and other files", opening: []byte("### The run as a whole, definitions and other files\n" + tableHead)})
	for ; at < len(all); at++ {
		if all[at].Kind == 0 {
			keep(all[at], rest)
		} else {
			keep(all[at], across)
		}
	}
	p.kept = make([]bool, len(p.all))
	return p
}

func orFile(j *openJob) string {
	if j.Number == "" {
		return j.File
	}
	return j.Number
}

// opening begins the section of a job: what was judged, and what is open before its
// gates.
func (p *markdownPage) opening(j *openJob) []byte {
	m := new(mark).own("### Job ").text(clip(orFile(j))).own("\n\n").code(clip(p.sink.path(j.File)))
	if j.Unread {
		return m.own(": the file could not be read; nothing of it was checked.\n", tableHead).b
	}
	m.own(", stage ").text(clip(stageOr(j.Stage))).own(".\n\n")
	for _, s := range j.Said {
		m.own("- ").text(clip(s)).own("\n")
	}
	p.gates(m, j.Gates)
	return m.own(tableHead).b
}

// gates writes what is open before the gates: sentences, with what they list in brackets
// of a list below them.
func (p *markdownPage) gates(m *mark, gates []string) {
	const most = 20
	points := 0
	end := func() {
		if points > most {
			m.own("  - and ", plural(points-most, "other point", "other points"), "\n")
		}
		points = 0
	}
	for _, s := range gates {
		point, ok := strings.CutPrefix(s, "- ")
		if !ok {
			end()
			m.own("- ").text(clip(s)).own("\n")
			continue
		}
		if points++; points <= most {
			m.own("  - ").text(clip(point)).own("\n")
		}
	}
	end()
}

// cleanJob writes a job with nothing to look at in one line.
func (p *markdownPage) cleanJob(j *openJob) []byte {
	m := new(mark).own("- ").code(clip(p.sink.path(j.File))).own(": ")
	for i, s := range j.Said {
		if i > 0 {
			m.own(" ")
		}
		m.text(clip(s))
	}
	return m.own("\n").b
}

const (
	cleanTitle     = "### Jobs without findings\n\n"
	markdownEnding = "\n" + caution + "\n"
)

func (p *markdownPage) write() []byte {
	heading := append(p.heading(), p.newTitle()...)
	room := p.sink.most - len(heading) - len(markdownEnding) - cutSize - len(cleanTitle) - len(leftTitle) - len(knownTitle)
	rows := p.keep(&room)
	left, leftCut := list(nil, leftTitle, p.leftList(), &room)
	known, knownCut := list(nil, knownTitle, p.knownLines(p.known), &room)
	clean, cleanCut := list(nil, cleanTitle, p.clean, &room)
	out := append(heading, p.cut(leftCut, knownCut, cleanCut)...)
	for g := range p.groups {
		if p.groups[g].rows == 0 {
			continue
		}
		out = append(out, p.groups[g].opening...)
		for i, row := range rows {
			if p.kept[i] && p.of[i] == g {
				out = append(out, row...)
			}
		}
		out = append(out, '\n')
	}
	out = append(append(append(out, left...), known...), bytes.TrimSuffix(clean, []byte("\n"))...)
	return append(out, markdownEnding...)
}

// keep writes the rows and decides which there is room for, the worst first.
func (p *markdownPage) keep(room *int) [][]byte {
	rows := make([][]byte, len(p.all))
	for i := range p.all {
		rows[i] = p.row(&p.all[i])
	}
	for _, i := range worstOrder(p.all) {
		g := &p.groups[p.of[i]]
		need := len(rows[i])
		if g.rows == 0 {
			need += len(g.opening) + 1
		}
		if need > *room {
			continue
		}
		*room -= need
		p.kept[i], g.rows = true, g.rows+1
	}
	return rows
}

// cut says exactly what is left out; nothing where nothing is.
func (p *markdownPage) cut(left, known, clean int) []byte {
	var counts, blocking [judge.Accepted + 1]int
	var where []string
	total := 0
	for i := range p.all {
		if p.kept[i] {
			continue
		}
		total++
		counts[p.all[i].Kind]++
		if p.all[i].Blocking {
			blocking[p.all[i].Kind]++
		}
		where = appendNew(where, p.groups[p.of[i]].name)
	}
	if total+left+known+clean == 0 {
		return nil
	}
	m := new(mark).own("**Cut to fit.** ")
	if total > 0 {
		m.own(plural(total, "finding is", "findings are"), " not shown here: ", kindCounts(&counts, &blocking), "; of ")
		for i, name := range where {
			if i == 10 {
				m.own(" and ", plural(len(where)-i, "other", "others"))
				break
			}
			if i > 0 {
				m.own(", ")
			}
			m.text(name[:min(len(name), 60)])
		}
		m.own(". ")
	}
	if left > 0 {
		m.own(plural(left, "finding that is fixed or gone is", "findings that are fixed or gone are"), " not listed. ")
	}
	if known > 0 {
		m.own(plural(known, "job with known findings is", "jobs with known findings are"), " not listed. ")
	}
	if clean > 0 {
		m.own(plural(clean, "job without findings is", "jobs without findings are"), " not listed. ")
	}
	return m.own("The other reports have everything.\n\n").b
}
