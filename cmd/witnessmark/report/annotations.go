package report

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// What the CI host shows of one step: 10 messages of each level, so 9 and one that says
// how many more there are; and 4,096 characters of each, counted here in bytes.
const (
	annotationsEach = 9
	annotationSize  = 4000
)

// levels of annotations and of SARIF, the worst first.
var levels = []string{"error", "warning", "notice"}

// level is how loudly a finding is told: what blocks is an error, unless the value may
// just as well be within; what was accepted is only mentioned.
func (o *Open) level() string {
	switch {
	case o.Kind == judge.Accepted:
		return "notice"
	case o.Kind == 0, o.Blocking && o.Kind != judge.TooClose:
		return "error"
	}
	return "warning"
}

// annotationSink writes log commands that the CI host shows beside the lines they name.
type annotationSink struct {
	stream
	openSink
	path func(string) string
}

// NewAnnotations returns the sink of log commands for the CI host. They must stand in
// the log of a step, so that the report is for standard output.
func NewAnnotations(w io.Writer, s Settings) checks.Sink {
	return &annotationSink{openSink: openSink{since: s.Since}, stream: newStream(w), path: s.pathOf()}
}

// End writes the worst findings of each level, and last the figures of the run, so that
// a run without findings says what it judged. Of a run that is compared with its base
// what was known has no line: it is counted.
func (s *annotationSink) End(r *checks.Run) error {
	all := slices.DeleteFunc(s.all(r), func(o Open) bool { return !o.inFull() })
	var b []byte
	for _, level := range levels {
		shown, more := 0, map[judge.Kind]int{}
		most := annotationsEach
		if level == "notice" {
			if most -= min(len(r.Notes), 3) + 1; s.since != nil { // what follows below
				most--
			}
		}
		left := 0
		for _, i := range worstOrder(all) {
			o := &all[i]
			switch {
			case o.level() != level:
			case shown < most:
				shown++
				b = s.annotation(b, level, o)
			default:
				left++
				more[o.Kind]++
			}
		}
		if left > 0 {
			b = command(b, level, "", 0, 0, "more findings", strconv.Itoa(left)+" more ("+kindList(more)+"), see the summary or the other reports")
		}
	}
	for i, n := range r.Notes {
		if i == 2 && len(r.Notes) > 3 {
			b = command(b, "notice", "", 0, 0, "not checked", plural(len(r.Notes)-i, "other thing was", "other things were")+" not checked in this run as a whole; see the summary or the other reports")
			break
		}
		b = command(b, "notice", "", 0, 0, "not checked", n)
	}
	if s.since != nil {
		b = command(b, "notice", "", 0, 0, "since the base", s.sinceText())
	}
	return s.end(command(b, "notice", "", 0, 0, "witnessmark", figures(r)))
}

// sinceText counts what is new and known, and names what is gone or fixed.
func (s *annotationSink) sinceText() string {
	const most = 6
	text := sentenceCase(sinceSentence(s.since)) + "."
	if s.since.Totals.Known > 0 {
		text += " What is known stands in the other reports, and not beside its line."
	}
	add := func(all []string, what string) {
		shown := min(len(all), most)
		for _, l := range all[:shown] {
			text += "\n" + l
		}
		if len(all) > shown {
			text += "\nand " + strconv.Itoa(len(all)-shown) + " more " + what
		}
	}
	for _, n := range s.since.Notes {
		text += "\nnot compared: " + n
	}
	gone, fixed := leftLines(s.since, s.path)
	add(gone, "gone")
	add(fixed, "fixed")
	return text
}

// annotation writes one finding. Its file is where the host looks for it.
func (s *annotationSink) annotation(b []byte, level string, o *Open) []byte {
	text := o.Text
	for _, name := range []string{"margin", "source", "decided by", "note", "mend"} {
		if t := o.item(name); t != "" {
			text += "\n" + name + ": " + t
		}
	}
	if o.InBase != "" {
		text += "\nin the base: " + o.InBase
	}
	title := o.state() + o.Outcome()
	if !o.Blocking {
		title += ", advisory"
	}
	title += ": " + o.Name
	file := ""
	if o.File != "" {
		file = s.path(o.File)
	}
	return command(b, level, file, o.Line, o.Column, title, text)
}

// command writes one log command. Our own line ends in text stay line ends; everything
// else from elsewhere is spelled out, so that no text begins a command of its own.
func command(b []byte, level, file string, line, column int, title, text string) []byte {
	b = append(append(b, "::"...), level...)
	b = append(b, ' ')
	if file != "" {
		b = append(appendProperty(append(b, "file="...), file), ',')
		if line > 0 {
			b = append(strconv.AppendInt(append(b, "line="...), int64(line), 10), ',')
		}
		if line > 0 && column > 0 {
			b = append(strconv.AppendInt(append(b, "col="...), int64(column), 10), ',')
		}
	}
	b = append(appendProperty(append(b, "title="...), title), "::"...)
	var lines []string
	for l := range strings.SplitSeq(text, "\n") {
		lines = append(lines, escapeMessage.Replace(Shown(l)))
	}
	return append(append(b, cutMessage(strings.Join(lines, "%0A"))...), '\n')
}

var (
	escapeMessage  = strings.NewReplacer("%", "%25")
	escapeProperty = strings.NewReplacer("%", "%25", ":", "%3A", ",", "%2C")
)

func appendProperty(b []byte, text string) []byte {
	const most = 1000
	text = Shown(text)
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "") + "…"
	}
	return append(b, escapeProperty.Replace(text)...)
}

// cutMessage keeps a message within what the host shows, and says where it is cut. An
// escape is not cut in two.
func cutMessage(text string) string {
	if len(text) <= annotationSize {
		return text
	}
	text = strings.ToValidUTF8(text[:annotationSize], "")
	if i := strings.LastIndexByte(text, '%'); i > len(text)-3 {
		text = text[:i]
	}
	return text + " … (cut)"
}

// kindList writes how often each outcome came out, problems first.
func kindList(counts map[judge.Kind]int) string {
	var parts []string
	for _, k := range append([]judge.Kind{0}, judge.Kinds()...) {
		if counts[k] > 0 {
			parts = append(parts, strconv.Itoa(counts[k])+" "+(&Open{Kind: k}).Outcome())
		}
	}
	return strings.Join(parts, ", ")
}

// figures says in one line how a run came out, what was not judged too.
func figures(r *checks.Run) string {
	c := &r.Counts
	text := plural(c.Jobs, "job file", "job files") + " judged, " + plural(c.Unread, "file", "files") + " that could not be read, " +
		plural(len(r.Problems), "problem", "problems") + "; " + plural(c.Judged, "comparison", "comparisons") + " of values with limits"
	if list := kindList(c.ByKind); list != "" {
		text += "; " + list
	}
	if n := &c.Without; n.Limits > 0 {
		t := &lines{}
		t.idle(n.Limits, n.Blocking)
		text += "; not judged: " + string(t.b)
	}
	return text + "; as of " + r.AsOf.String() + ", limits " + short(r.LimitsDigest) + ". What is not listed was not checked."
}
