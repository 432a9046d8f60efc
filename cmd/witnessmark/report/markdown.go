package report

import (
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// How much the hosts of repositories take. A comment may have 65,536 characters; bytes
// are counted here, of which there are never fewer. The summary of a step may have
// 1 MiB with everything that is appended to it, so 900 KiB are left to one report.
const (
	commentSize = 65_536
	summarySize = 900 << 10
)

// markdownSink writes Markdown for a comment on a change or the summary of a CI run.
type markdownSink struct {
	stream
	openSink
	path func(string) string
	most int // bytes
}

// NewMarkdown returns the sink of a report that fits into a comment on a change.
func NewMarkdown(w io.Writer, s Settings) checks.Sink { return newMarkdown(w, s, commentSize) }

// NewSummary returns the sink of a report that fits into the summary of a CI run.
func NewSummary(w io.Writer, s Settings) checks.Sink { return newMarkdown(w, s, summarySize) }

func newMarkdown(w io.Writer, s Settings, most int) *markdownSink {
	return &markdownSink{openSink: openSink{since: s.Since}, stream: newStream(w), path: s.pathOf(), most: most}
}

// End writes the page: the figures of the run, each job with something to look at, what
// runs across jobs, and the other jobs in one line each.
func (s *markdownSink) End(r *checks.Run) error {
	p := newMarkdownPage(s, r)
	return s.end(p.write())
}

// mark gathers Markdown. own takes marks and words of this program, text everything else.
type mark struct{ b []byte }

func (m *mark) own(parts ...string) *mark {
	for _, s := range parts {
		m.b = append(m.b, s...)
	}
	return m
}

func (m *mark) text(s string) *mark {
	m.b = AppendMarkdown(m.b, s)
	return m
}

func (m *mark) code(s string) *mark {
	m.b = AppendCode(m.b, s)
	return m
}

// heading writes the figures of the run: how it came out, what was not checked, as of
// when and by what.
func (p *markdownPage) heading() []byte {
	r, c := p.run, &p.run.Counts
	m := new(mark).own("## witnessmark\n\n")
	m.own("As of ").text(r.AsOf.String()).own(", limits ").code(short(r.LimitsDigest)).own(". ")
	if c.Jobs+c.Unread == 0 {
		m.own("No job file was found, so nothing was judged.\n\n")
	} else {
		m.own(plural(c.Jobs, "job file", "job files"), " judged, ", plural(c.Unread, "file", "files"), " that could not be read; ",
			plural(c.Judged, "comparison", "comparisons"), " of values with limits.\n\n")
	}
	m.own("| Outcome | Count | Of them blocking |\n|---|--:|--:|\n")
	for _, k := range judge.Kinds() {
		m.own("| ", spoken(k), " | ", strconv.Itoa(c.ByKind[k]), " | ")
		if k.IsFinding() {
			m.own(strconv.Itoa(c.Blocking[k]))
		}
		m.own(" |\n")
	}
	m.own("| problem that kept something from being checked | ", strconv.Itoa(len(r.Problems)), " | |\n\n")
	if n := &c.Without; n.Limits > 0 {
		t := &lines{}
		t.idle(n.Limits, n.Blocking)
		m.own("- Not judged: ", string(t.b), ", counted job by job, in ", plural(n.Jobs, "job", "jobs"), ".\n")
	}
	for _, n := range r.Notes {
		m.own("- Not checked: ").text(n).own("\n")
	}
	p.sinceHeading(m)
	return append(m.b, '\n')
}

// tableHead begins the table of findings of one job.
const tableHead = "\n| Outcome | Where | Value | Limit | Margin | Source and clause | Who decides |\n|---|---|---|---|---|---|---|\n"

// row writes a finding as a row of the table of its job.
func (p *markdownPage) row(o *Open) []byte {
	m := new(mark).own("| ", o.state(), o.Outcome())
	if !o.Blocking {
		m.own(", advisory")
	}
	m.own(" | ")
	if o.File != "" {
		m.code(clip(placeText(p.sink.path(o.File), o.Line)))
	}
	text, _, _ := strings.Cut(o.Text, "; the limit is ")
	m.own(" | ").text(clip(strings.TrimSuffix(text, ".")))
	for _, name := range []string{"note", "mend", "would pass"} {
		if t := o.item(name); t != "" {
			m.own("; ", name, ": ").text(clip(t))
		}
	}
	if o.InBase != "" {
		m.own("; in the base: ").text(clip(o.InBase))
	}
	m.own(" | ").text(clip(p.limits(o))).own(" | ").text(o.item("margin")).own(" | ").text(clip(o.source()))
	return m.own(" | ").text(clip(o.item("decided by"))).own(" |\n").b
}

// source names the document and clause behind a finding.
func (o *Open) source() string {
	if o.item("check") != "" {
		return "built-in check"
	}
	return o.item("source")
}

// clip shortens a text that no cell of a table is for, and says so.
func clip(s string) string {
	const most = 800
	if len(s) <= most {
		return s
	}
	all := utf8.RuneCountInString(s)
	return strings.ToValidUTF8(s[:most], "") + " … (cut, " + strconv.Itoa(all) + " characters in all)"
}

// limits names the limit of a finding, or the limits that wait on it.
func (p *markdownPage) limits(o *Open) string {
	if t := o.item("limit"); t != "" {
		t = strings.Join(strings.Fields(t), " ")
		also := 0
		for _, i := range o.Items {
			if i.Name == "also" {
				also++
			}
		}
		if also > 0 {
			t += "; and " + plural(also, "other limit", "other limits")
		}
		return t
	}
	const most = 3
	names, more := []string(nil), 0
	for _, i := range o.Items {
		if i.Name == "waiting" && len(names) < most {
			name, _, _ := strings.Cut(i.Text, ": ")
			names = append(names, name)
		} else if i.Name == "waiting" {
			more++
		}
	}
	switch {
	case more > 0:
		return "waiting: " + strings.Join(names, ", ") + " and " + plural(more, "other", "others")
	case len(names) > 0:
		return "waiting: " + strings.Join(names, ", ")
	case o.Kind == 0:
		return ""
	}
	return o.Name
}
