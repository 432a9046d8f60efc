package report

import (
	_ "embed"
	"io"
	"sort"
	"strconv"
	"sync"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/since"
)

// FormatVersion is the version of the JSON report. It rises when a reader that
// knows the schema could misunderstand a report; new keys alone do not raise it.
const FormatVersion = 1

// Schema is the JSON Schema (2020-12) of the JSON report.
//
//go:embed lint.schema.json
var Schema []byte

// jsonSink streams the report: the jobs as they come, then what is known only
// after the last of them. It keeps nothing of a job.
type jsonSink struct {
	stream
	findingsOnly bool
	began        bool     // a job has been written
	limits       sync.Map // *limit.Compiled to *limitJSON: the same for every job

	since *since.Comparison // nil where nothing is compared with a base
}

// NewJSON returns the sink of the JSON report.
func NewJSON(w io.Writer, s Settings) checks.Sink {
	return &jsonSink{stream: newStream(w), findingsOnly: s.FindingsOnly, since: s.Since}
}

// Begin writes what the run is judged by and opens the list of jobs.
func (j *jsonSink) Begin(r *checks.Run) error {
	b := appendText([]byte(`{"tool":{"name":"witnessmark"`), "version", r.Tool)
	b = append(b, `},"format_version":`...)
	b = strconv.AppendInt(b, FormatVersion, 10)
	b = appendText(b, "as_of", r.AsOf.String())
	b = appendText(b, "limits_digest", r.LimitsDigest)
	if r.Redacted {
		b = appendTruth(b, "redacted", true)
	}
	return j.write(append(b, `,"jobs":[`...))
}

// Job writes what Render made of one job.
func (j *jsonSink) Job(rendered []byte) error {
	separator := ",\n"
	if !j.began {
		separator = "\n"
	}
	j.began = true
	if err := j.write([]byte(separator)); err != nil {
		return err
	}
	return j.write(rendered)
}

// End closes the list of jobs and writes the rest.
func (j *jsonSink) End(r *checks.Run) error {
	b := []byte("\n],\n\"repository\":{\"premises\":[")
	for i := range r.Repository.Premises {
		b = appendPremises(comma(b, i), &r.Repository.Premises[i], j.since)
	}
	b = append(b, `],"outcomes":[`...)
	for i := range r.Repository.Outcomes {
		b = appendRepositoryOutcome(append(comma(b, i), '\n'), &r.Repository.Outcomes[i], j.since.Outcome(&r.Repository.Outcomes[i]))
	}
	b = append(b, "]},\n\"problems\":["...)
	for i := range r.Problems {
		b = appendProblem(append(comma(b, i), '\n'), &r.Problems[i], j.since.Problem(i))
	}
	b = append(b, "],\n\"limits\":{"...)
	b = appendLimits(b, r.Limits)
	b = append(b, "},\n\"sources\":{"...)
	b = appendSources(b, r.Sources)
	b = append(b, "},\n\"summary\":"...)
	b = appendSummary(b, r)
	b = appendSince(b, j.since)
	return j.end(append(b, "}\n"...))
}

func appendProblem(b []byte, p *checks.Problem, v since.Verdict) []byte {
	b = AppendJSON(append(b, `{"file":`...), p.File)
	if p.At.Line > 0 {
		b = appendNumber(b, "line", p.At.Line)
	}
	if p.At.Column > 0 {
		b = appendNumber(b, "column", p.At.Column)
	}
	b = appendText(b, "code", p.Code)
	b = appendText(b, "message", p.Message)
	b = appendText(b, "mend", p.Mend)
	b = appendVerdict(b, v)
	return append(b, '}')
}

func appendLimits(b []byte, limits []*limit.Planned) []byte {
	for i := 0; i < len(limits); {
		l, blocking := limits[i], false
		first := i == 0
		for ; i < len(limits) && limits[i].FullName == l.FullName; i++ { // one limit planned for several jobs
			blocking = blocking || limits[i].Blocking
		}
		if !first {
			b = append(b, ',')
		}
		b = AppendJSON(append(b, '\n'), l.FullName)
		b = append(b, ':')
		b = append(appendLimit(append(b, '{'), l, blocking), '}')
	}
	return b
}

func appendLimit(b []byte, l *limit.Planned, blocking bool) []byte {
	b = AppendJSON(append(b, `"measure":`...), l.Measure)
	b = appendText(b, "within", l.Describe(false))
	b = appendText(b, "unit", l.Way.Leaf.UnitName(l.Of))
	b = appendText(b, "clause", l.Clause)
	b = appendText(b, "grade", string(l.Grade))
	b = appendTruth(b, "blocking", blocking)
	b = appendText(b, "why", l.Why)
	b = appendText(b, "decided_by", l.Source.DecidedBy)
	b = appendText(b, "source", l.Source.Name)
	b = appendText(b, "file", l.At.File)
	b = appendNumber(b, "line", l.At.Line)
	b = appendText(b, "reviewed", l.Reviewed)
	b = appendText(b, "review_by", l.ReviewBy)
	if l.Address != "" {
		b = appendText(b, "address", l.Address)
	}
	if l.Printed != nil {
		b = AppendJSON(append(b, `,"printed":{"within":`...), l.Describe(true))
		b = append(appendText(b, "unit", l.UnitFor(true).Symbol()), '}')
	}
	return b
}

func appendSources(b []byte, sources []*limit.Source) []byte {
	for i, s := range sources {
		if i > 0 && sources[i-1].Name == s.Name {
			continue
		}
		b = AppendJSON(append(comma(b, i), '\n'), s.Name)
		b = AppendJSON(append(b, `:{"title":`...), s.Title)
		b = appendText(b, "edition", s.Edition)
		b = appendText(b, "kind", string(s.Kind))
		b = appendText(b, "decision", string(s.Decision))
		b = appendText(b, "decided_by", s.DecidedBy)
		b = appendText(b, "file", s.At.File)
		b = append(appendNumber(b, "line", s.At.Line), '}')
	}
	return b
}

func appendSummary(b []byte, r *checks.Run) []byte {
	c := &r.Counts
	b = strconv.AppendInt(append(b, `{"jobs":`...), int64(c.Jobs), 10)
	b = appendNumber(b, "unread", c.Unread)
	b = appendKinds(append(b, `,"outcomes":`...), c.ByKind)
	b = appendKinds(append(b, `,"blocking":`...), c.Blocking)
	b = append(b, `,"by_grade":{`...)
	for i, g := range limit.Grades() {
		b = AppendJSON(comma(b, i), string(g))
		b = appendKinds(append(b, ':'), c.ByGrade[g])
	}
	b = append(b, `},"by_rule_set":{`...)
	for i, name := range sortedNames(c.ByRuleSet) {
		b = AppendJSON(comma(b, i), name)
		b = appendKinds(append(b, ':'), c.ByRuleSet[name])
	}
	b = append(b, '}')
	b = appendNumber(b, "problems", c.Problems)
	b = appendNumber(b, "judged", c.Judged)
	b = strconv.AppendInt(append(b, `,"without_entry":{"jobs":`...), int64(c.Without.Jobs), 10)
	b = appendNumber(b, "limits", c.Without.Limits)
	b = append(appendNumber(b, "blocking", c.Without.Blocking), '}')
	b = append(b, `,"notes":[`...)
	for i, n := range r.Notes {
		b = AppendJSON(comma(b, i), n)
	}
	return append(b, `]}`...)
}

// appendKinds writes how often each outcome came out; all words, also at 0, so
// that a reader never has to guess what is not there.
func appendKinds(b []byte, counts map[judge.Kind]int) []byte {
	b = append(b, '{')
	for i, k := range judge.Kinds() {
		b = AppendJSON(comma(b, i), k.String())
		b = strconv.AppendInt(append(b, ':'), int64(counts[k]), 10)
	}
	return append(b, '}')
}

func sortedNames(m map[string]map[judge.Kind]int) []string {
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// comma separates the elements of a list or object.
func comma(b []byte, i int) []byte {
	if i > 0 {
		b = append(b, ',')
	}
	return b
}

// appendKey writes a key of our own, with the comma before it.
func appendKey(b []byte, key string) []byte {
	b = append(b, ',', '"')
	b = append(b, key...)
	return append(b, '"', ':')
}

func appendText(b []byte, key, text string) []byte { return AppendJSON(appendKey(b, key), text) }

func appendNumber(b []byte, key string, n int) []byte {
	return strconv.AppendInt(appendKey(b, key), int64(n), 10)
}

func appendTruth(b []byte, key string, t bool) []byte {
	return strconv.AppendBool(appendKey(b, key), t)
}
