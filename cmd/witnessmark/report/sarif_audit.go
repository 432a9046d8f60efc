package report

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"io"
	"slices"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// sarifAudit writes the log for whoever wants to see what was judged: every outcome. It
// streams the results; of a job it keeps only the name and digest of its file, and what
// was not judged of it.
type sarifAudit struct {
	stream
	values *jsonSink // writes values and limits as the JSON report does
	path   func(string) string
	since  *since.Comparison // nil where nothing is compared
	began  bool              // a result has been written

	files []sarifFile
	notes []sarifNote
	rules map[string]bool // names of problems
	shown shownFiles
}

// NewSARIFAudit returns the sink of the SARIF log with every outcome.
func NewSARIFAudit(w io.Writer, s Settings) checks.Sink {
	return &sarifAudit{stream: newStream(w), values: &jsonSink{}, path: s.pathOf(), since: s.Since, rules: map[string]bool{}}
}

// Begin opens the list of results.
func (s *sarifAudit) Begin(r *checks.Run) error { return s.write(sarifBegin("audit", r)) }

// auditJob is what is kept of one job.
type auditJob struct {
	File, Digest string
	Problems     []string // their rules
	Notes        []string
}

// Render writes the results of one job, behind what is kept of it. It is safe for
// concurrent use.
func (s *sarifAudit) Render(dst []byte, job *checks.Job) []byte {
	kept := auditJob{File: job.File, Digest: job.Digest}
	var all [][]byte
	one := func(write func(j *jsonText)) {
		j := &jsonText{}
		write(j)
		all = append(all, j.b)
	}
	seen, beside := identitiesSeen{}, s.since.Of(job)
	for i := range job.Problems {
		s.shown.add(job)
		o := openProblem(&job.Problems[i], job.Number)
		o.compared(beside.Problem(i))
		o.Key = seen.unique(o.Key)
		kept.Problems = append(kept.Problems, o.Name)
		one(func(j *jsonText) { sarifOpen(j, &o, nil, s.path, false) })
	}
	if job.Result == nil {
		kept.Notes = []string{unreadWords}
	} else {
		w := teller(job, job.Result.AsOf)
		for _, t := range w.tell(func() { w.closing(false) }) {
			kept.Notes = append(kept.Notes, sentenceCase(t.head))
		}
		for _, i := range inOrderOfFile(job.Result) {
			o := &job.Result.Outcomes[i]
			key := seen.unique(keyOf(o.Name(), job.File, o.Fact()))
			one(func(j *jsonText) { s.outcome(j, w, o, key, beside.Verdict(o)) })
		}
	}
	head, err := json.Marshal(kept)
	if err != nil {
		panic("report: " + err.Error()) // it holds only text
	}
	dst = append(binary.AppendUvarint(dst, uint64(len(head))), head...)
	for i, text := range all {
		dst = append(comma(dst, i), '\n')
		dst = append(dst, text...)
	}
	return dst
}

// inOrderOfFile lists the places of the outcomes by line, column and name.
func inOrderOfFile(r *judge.Result) []int {
	order := make([]int, len(r.Outcomes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &r.Outcomes[a], &r.Outcomes[b]
		p, q := positionOf(r, x), positionOf(r, y)
		return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column), strings.Compare(x.Name(), y.Name()))
	})
	return order
}

// Job writes the results of one job and keeps the rest.
func (s *sarifAudit) Job(rendered []byte) error {
	size, n := binary.Uvarint(rendered)
	var j auditJob
	if err := json.Unmarshal(rendered[n:n+int(size)], &j); err != nil {
		return err
	}
	s.files = append(s.files, sarifFile{j.File, j.Digest})
	for _, p := range j.Problems {
		s.rules[p] = true
	}
	for _, text := range j.Notes {
		s.notes = append(s.notes, sarifNote{"note", text, j.File})
	}
	return s.results(rendered[n+int(size):])
}

// results writes results that are already set apart from each other.
func (s *sarifAudit) results(b []byte) error {
	if len(b) == 0 {
		return nil
	}
	if s.began {
		if err := s.write([]byte(",")); err != nil {
			return err
		}
	}
	s.began = true
	return s.write(b)
}

// End writes what came out across jobs, the problems of definitions, and what stands
// behind the results.
func (s *sarifAudit) End(r *checks.Run) error {
	j, seen := &jsonText{b: []byte("[")}, identitiesSeen{}
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			s.across(j, r, &p.Outcomes[k], p, seen)
		}
	}
	for i := range r.Repository.Outcomes {
		s.across(j, r, &r.Repository.Outcomes[i], &checks.PremisesResult{}, seen)
	}
	for i, p := range s.shown.others(r) {
		o := openProblem(p, "")
		o.compared(s.since.Problem(i))
		s.rules[o.Name], o.Key = true, seen.unique(o.Key)
		sarifOpen(j.line(), &o, nil, s.path, false)
	}
	for _, o := range leftOf(s.since) {
		if o.Kind == 0 {
			s.rules[o.Name] = true
		}
		o.Key = seen.unique(o.Key)
		s.left(j.line(), &o)
	}
	if err := s.results(j.b[1:]); err != nil {
		return err
	}
	e := &sarifEnd{run: r, path: s.path, files: s.files, rules: sarifRules(r, nil, problemNames(s.rules))}
	e.notes = append(s.notes, sarifNotesSince(s.since)...)
	e.notes = append(e.notes, sarifNote{level: "note", text: figures(r)})
	return s.end(e.write())
}

// sarifKind is the kind of result for an outcome. What is not known is open, and what
// may lie on either side is for a person to review; only what is beside a limit, or due
// and not recorded, fails.
func sarifKind(k judge.Kind) string {
	switch k {
	case judge.Within:
		return "pass"
	case judge.TooClose:
		return "review"
	case judge.NotChecked, judge.NotDue:
		return "open"
	case judge.NotApplicable:
		return "notApplicable"
	}
	return "fail"
}

// kindAndLevel writes the kind of a result, and a level where it fails; any other kind
// has none.
func kindAndLevel(j *jsonText, k judge.Kind, blocking bool) {
	kind := sarifKind(k)
	j.text("kind", kind)
	switch {
	case kind != "fail":
		j.text("level", "none")
	case k == judge.Accepted:
		j.text("level", "note")
	case blocking:
		j.text("level", "error")
	default:
		j.text("level", "warning")
	}
}

// outcome writes one outcome of a job.
func (s *sarifAudit) outcome(j *jsonText, w *jobWriter, o *judge.Outcome, key string, v since.Verdict) {
	r := w.job.Result
	j.open('{').text("ruleId", Shown(o.Name()))
	kindAndLevel(j, o.Kind, o.Blocking)
	sarifMessage(j, w.sentence(func() { w.inOneLine(o) }))
	sarifPlace(j, s.path(w.job.File), o.Fact(), positionOf(r, o), false)
	sarifTaxa(j, o.Limit)
	j.object("partialFingerprints").text(fingerprint, key).close('}').text("baselineState", baselineState(v.State, inBaseText(v)))
	sarifSuppressions(j, o.Kind, o.Reason)
	j.object("properties").text("outcome", o.Kind.String()).truth("blocking", o.Blocking)
	second, known := 0, (*limitJSON)(nil)
	if o.Second {
		second = 1
	}
	if o.Limit != nil {
		known = s.values.limit(o.Limit.Compiled)
	}
	j.b = appendValueOf(j.b, o, known, second)
	if known != nil {
		j.b = append(j.b, known.within[second]...)
	}
	if room, ok := o.Room(); ok {
		j.b = append(appendKey(j.b, "margin"), signed(room, outsideOf(o))...)
	}
	if known != nil && compared(o.Kind) {
		j.truth("strictest", o.Strictest)
	}
	j.text("job", Shown(w.job.Number)).text("topic", o.Leaf.Topic)
	sarifSince(j, v)
	j.close('}', '}')
}

// inOneLine writes any outcome as one sentence: what it is about, the value, what was
// asked, by how much, and why it came out so.
func (w *jobWriter) inOneLine(o *judge.Outcome) {
	w.outcome(o.Kind, o.Blocking)
	w.subject(o.Of, o.Leaf)
	known := o.Value != nil && o.Value.State == fact.Known && o.Kind != judge.Missing
	if known {
		w.own(" is ")
		w.value(o)
	}
	if o.Limit != nil {
		w.asked(o.Limit.DescribeHere(o.Second, hereText(o)))
	}
	if text := marginText(o); text != "" {
		w.own("; ").from(text)
	}
	switch {
	case o.Reason != "":
		w.own("; ").from(o.Reason)
	case o.Reaches:
		w.own("; ", reachesOver)
	}
	w.own(".")
}
