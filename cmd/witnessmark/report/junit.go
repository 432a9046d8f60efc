package report

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"io"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// junitSize is how large a report may grow before jobs are told by their findings only.
// Hosts take no more than 30 MB; what is left for findings is room for many jobs.
const junitSize = 20 << 20

// junitSink writes what CI hosts read as results of tests: a suite for each job, and in
// it a test case for each limit and value. There is no specification; what is written is
// what the common dialects share. It keeps nothing of a job but the name of its file.
type junitSink struct {
	stream
	findingsOnly bool
	size, most   int // bytes written, and from where on only findings are
	since        *since.Comparison
	shown        shownFiles
}

// NewJUnit returns the sink of the JUnit report.
func NewJUnit(w io.Writer, s Settings) checks.Sink {
	return &junitSink{stream: newStream(w), findingsOnly: s.FindingsOnly, most: junitSize, since: s.Since}
}

// Begin opens the document.
func (s *junitSink) Begin(*checks.Run) error {
	return s.write([]byte(xml.Header + `<testsuites name="witnessmark">` + "\n"))
}

// Job writes what Render made of one job: all of it, or where the report is large
// already, its findings and how many outcomes are left out.
func (s *junitSink) Job(rendered []byte) error {
	size, n := binary.Uvarint(rendered)
	all, short := rendered[n:n+int(size)], rendered[n+int(size):]
	if s.size+len(all) > s.most {
		all = short
	}
	s.size += len(all)
	return s.write(all)
}

// suite gathers the test cases of one suite.
type suite struct {
	name, class                      string
	properties                       [][2]string
	cases                            []byte
	names                            map[string]int
	tests, failures, errors, skipped int
}

// Results of a test case. A file that could not be read is an error, what is beside a
// limit or should be recorded a failure; what was not judged, or was accepted, is
// skipped, with the reason.
const (
	junitPass    = ""
	junitFailure = "failure"
	junitError   = "error"
	junitSkipped = "skipped"
)

func junitResult(k judge.Kind) string {
	switch k {
	case judge.Within:
		return junitPass
	case judge.Outside, judge.TooClose, judge.Missing:
		return junitFailure
	}
	return junitSkipped
}

// add writes a test case. No two of a suite have the same name, since hosts count only
// the first; nor have two whose names would be spelled out alike.
func (s *suite) add(name, result, kind, text string) {
	s.tests++
	shown := Shown(name)
	if shown != name {
		shown += " " + keyOf(name)[:8]
	}
	if s.names[shown]++; s.names[shown] > 1 {
		shown += " (" + strconv.Itoa(s.names[shown]) + ")"
	}
	s.cases = appendXML(append(s.cases, `<testcase name="`...), shown)
	s.cases = appendXML(append(s.cases, `" classname="`...), Shown(s.class))
	switch result {
	case junitPass:
		s.cases = append(s.cases, "\"/>\n"...)
		return
	case junitSkipped:
		s.skipped++
		s.cases = append(s.cases, `"><skipped>`...)
	default:
		if result == junitError {
			s.errors++
		} else {
			s.failures++
		}
		first, _, _ := strings.Cut(text, "\n")
		s.cases = appendXML(append(append(append(s.cases, `"><`...), result...), ` type="`...), kind)
		s.cases = append(appendXML(append(s.cases, `" message="`...), Shown(first)), `">`...)
	}
	for i, line := range strings.Split(text, "\n") {
		if i > 0 {
			s.cases = append(s.cases, '\n')
		}
		s.cases = appendXML(s.cases, Shown(line))
	}
	s.cases = append(append(append(s.cases, "</"...), result...), "></testcase>\n"...)
}

// append writes the suite; nothing where it has no case.
func (s *suite) append(dst []byte) []byte {
	if s.tests == 0 {
		return dst
	}
	dst = appendXML(append(dst, `<testsuite name="`...), Shown(s.name))
	for _, n := range []struct {
		name  string
		count int
	}{{"tests", s.tests}, {"failures", s.failures}, {"errors", s.errors}, {"skipped", s.skipped}} {
		dst = append(append(append(dst, `" `...), n.name...), `="`...)
		dst = strconv.AppendInt(dst, int64(n.count), 10)
	}
	dst = append(dst, "\">\n"...)
	if len(s.properties) > 0 {
		dst = append(dst, "<properties>\n"...)
		for _, p := range s.properties {
			dst = append(append(append(dst, `<property name="`...), p[0]...), `" value="`...)
			dst = append(appendXML(dst, Shown(p[1])), "\"/>\n"...)
		}
		dst = append(dst, "</properties>\n"...)
	}
	return append(append(dst, s.cases...), "</testsuite>\n"...)
}

// appendXML appends text that means nothing to XML, between tags and in quotes. What XML
// does not allow at all is replaced.
func appendXML(dst []byte, s string) []byte {
	if !strings.ContainsFunc(s, func(r rune) bool { return r < 0x20 || r >= 0xd800 || strings.ContainsRune(`&<>"'`, r) }) {
		return append(dst, s...)
	}
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return append(dst, b.Bytes()...)
}

// Render writes the suite of one job, behind its size, and once more with findings only.
// It is safe for concurrent use.
func (s *junitSink) Render(dst []byte, job *checks.Job) []byte {
	s.shown.add(job)
	short := suiteOf(job, s.since.Of(job), true)
	all := short
	if !s.findingsOnly {
		all = suiteOf(job, s.since.Of(job), false)
	}
	dst = append(binary.AppendUvarint(dst, uint64(len(all))), all...)
	return append(dst, short...)
}

// suiteOf writes the suite of one job, and what is said of it beside the base, if
// anything.
func suiteOf(job *checks.Job, beside *since.Job, findingsOnly bool) []byte {
	out := suite{name: "job " + job.Number + " " + job.File, class: job.File, names: map[string]int{}}
	for _, p := range [][2]string{{"job", job.Number}, {"stage", job.Stage}, {"status", job.Status}, {"premises", job.Premises}, {"digest", job.Digest}} {
		if p[1] != "" {
			out.properties = append(out.properties, p)
		}
	}
	if beside != nil {
		fixed, gone := beside.Count()
		out.properties = append(out.properties, [2]string{"since the base", counted(beside.New, beside.Known, fixed, gone)})
	}
	for i := range job.Problems {
		out.problem(&job.Problems[i], beside.Problem(i))
	}
	if job.Result == nil {
		out.add("read "+job.File, junitError, "problem", unreadWords)
		return out.append(nil)
	}
	w := teller(job, job.Result.AsOf)
	var left [judge.Accepted + 1]int
	for _, i := range inOrderOfFile(job.Result) {
		o := &job.Result.Outcomes[i]
		if findingsOnly && !o.Kind.IsFinding() && o.Kind != judge.Accepted {
			left[o.Kind]++
			continue
		}
		out.outcome(o.Name()+" "+job.File+"#"+o.Fact(), o.Kind, o.Blocking, w.withSource(o), beside.Verdict(o))
	}
	out.notJudged(w, left)
	return out.append(nil)
}

// notJudged adds as skipped what was not judged of a job, or is left out.
func (s *suite) notJudged(w *jobWriter, left [judge.Accepted + 1]int) {
	for i, t := range w.tell(func() { w.closing(false) }) {
		if i > 0 || w.tally().values == 0 {
			s.add("not judged "+w.job.File+" "+strconv.Itoa(i), junitSkipped, "", t.head)
		}
	}
	for k, n := range left {
		if n > 0 {
			s.add("left out "+w.job.File+" "+spoken(judge.Kind(k)), junitSkipped, "", plural(n, "outcome is", "outcomes are")+" "+spoken(judge.Kind(k))+"; only findings are told here")
		}
	}
}

// withSource says how an outcome came out, and for whom a test failed where that comes
// from.
func (w *jobWriter) withSource(o *judge.Outcome) string {
	text := w.sentence(func() { w.inOneLine(o) })
	if l := o.Limit; l != nil && junitResult(o.Kind) != junitPass && o.Kind != judge.NotApplicable {
		text += "\nsource: " + l.Source.Title + ", edition " + l.Source.Edition + ", " + l.Clause + "\ndecided by: " + l.Source.DecidedBy
	}
	return text
}

func junitKind(k judge.Kind, blocking bool) string {
	if !blocking {
		return spoken(k) + ", advisory"
	}
	return spoken(k)
}

// problem adds a test case for a problem. It is an error, known or not: what could not
// be read fails every run.
func (s *suite) problem(p *checks.Problem, v since.Verdict) {
	text := (&Open{State: v.State}).state() + p.Message
	if p.Mend != "" {
		text += "\nmend: " + p.Mend
	}
	if p.At.Line > 0 {
		text += "\nat: " + placeText(p.File, p.At.Line)
	}
	s.add("problem/"+p.Code+" "+p.File, junitError, "problem", text)
}

// End writes what came out across jobs, the problems of definitions, what was not
// checked in the run as a whole, and closes the document.
func (s *junitSink) End(r *checks.Run) error {
	across := suite{name: "across jobs", class: "across jobs", names: map[string]int{}}
	add := func(o *checks.RepositoryOutcome, where string) {
		if s.findingsOnly && !o.Kind.IsFinding() && o.Kind != judge.Accepted {
			return
		}
		across.outcome(o.Name+" "+where+"#"+o.Fact+" across jobs", o.Kind, o.Blocking, acrossText(o), s.since.Outcome(o))
	}
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			add(&p.Outcomes[k], "premises "+p.Premises)
		}
	}
	for i := range r.Repository.Outcomes {
		add(&r.Repository.Outcomes[i], r.Repository.Outcomes[i].File)
	}
	rest := suite{name: "the run as a whole", class: "the run as a whole", names: map[string]int{}}
	for i, p := range s.shown.others(r) {
		rest.problem(p, s.since.Problem(i))
	}
	if r.Counts.Judged == 0 {
		rest.add("nothing checked", junitError, "problem", "nothing was checked: no value was compared with a limit")
	}
	for _, n := range r.Notes {
		rest.add("not checked: "+n, junitSkipped, "", n)
	}
	base := sinceSuite(s.since)
	return s.end(append(base.append(rest.append(across.append(nil))), "</testsuites>\n"...))
}

// acrossText says in lines how an outcome across jobs came out.
func acrossText(o *checks.RepositoryOutcome) string {
	t := teller(nil, fact.NoDay)
	told := t.tell(func() { t.across(o) })[0]
	text := told.head
	for _, i := range told.items {
		switch i.name {
		case "margin", "source", "decided by", "note":
			text += "\n" + i.name + ": " + i.text
		}
	}
	return text
}
