package jobfile

import (
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// syntax words an error of the YAML parser. Its own sentences speak of tokens
// and contexts; ours say what stands in the line. What is not known by its
// sentence gets a general one, never the parser's.
func (r *reader) syntax(err error, tooDeep bool) {
	if len(r.odd) > 0 && !r.json && !tooDeep {
		// A tab or wide space makes the parser stumble in many ways, often
		// lines later: name the cause.
		for _, o := range r.odd {
			r.addOdd(o)
		}
		return
	}
	var load *yaml.LoadError
	if !errors.As(err, &load) {
		r.probs.add(Position{}, CodeSyntax, "the file cannot be read as YAML", "compare it with a job file that works")
		return
	}
	at, from := r.mark(load.Mark), r.mark(load.ContextMark)
	if tooDeep {
		if from.Line == at.Line && from.before(at) && strings.Contains(load.ContextMsg, "indent") {
			at = from // the key; the parser notices at its colon
		}
		r.tooDeep(at)
		return
	}
	p := r.scannerError(load.Message, load.ContextMsg, at, from)
	if p.Code == "" {
		p = r.parserError(load.Message, at, from)
	}
	if p.Code == "" {
		p = Problem{at, CodeSyntax, "this place cannot be read as YAML", "compare the line and the one above it with a job file that works"}
	}
	r.probs.add(p.Pos, p.Code, p.Message, p.Mend)
}

func (r *reader) tooDeep(at Position) {
	r.probs.add(at, CodeTooDeep, fmt.Sprintf("lists and mappings stand more than %d deep in one another", r.lim.Depth),
		"a job file needs six or so")
}

// mark turns the parser's mark into a position. A mark behind the last line
// is the end of the file, where no character stands: the last line is named,
// without column.
func (r *reader) mark(m yaml.Mark) Position {
	if m.Line < 1 {
		return Position{}
	}
	last := r.lines.count()
	if m.Line > last || m.Line == last && r.lines.text(last) == "" && last > 1 {
		if r.lines.text(last) == "" && last > 1 {
			last--
		}
		return Position{Line: last}
	}
	return Position{Line: m.Line, Column: max(m.Column, 0)}
}

// split cuts the line of a position into what stands before and from it on.
func (r *reader) split(at Position) (before, after string) {
	text := r.lines.text(at.Line)
	if at.Column < 1 {
		return text, ""
	}
	off := r.lines.offset(at.Line, at.Column) - r.lines.start(at.Line)
	if off < 0 || off > len(text) {
		return text, ""
	}
	return text[:off], text[off:]
}

// scannerError words what the parser says while it reads characters.
func (r *reader) scannerError(what, context string, at, from Position) Problem {
	before, after := r.split(at)
	switch what {
	case "mapping values are not allowed in this context":
		return colonProblem(before, at)
	case "block sequence entries are not allowed in this context":
		return Problem{at, CodeListInLine, "a list item cannot begin in the line of its key",
			"put each \"- \" on a line of its own below the key, or write [a, b]"}
	case "mapping keys are not allowed in this context":
		return Problem{at, CodeComplexKey, "a value cannot begin with \"? \"", "put the value in quotes"}
	case "found character that cannot start any token":
		return Problem{at, CodeReserved, "a value cannot begin with " + quoted(firstRune(after)), "put the value in quotes"}
	case "found unexpected end of stream", "found unexpected document indicator":
		return Problem{from, CodeUnclosedQuote, "the quote opened here is never closed", "close it on its line; begin a text of several lines with |"}
	case "could not find expected ':'":
		return r.colonMissing(from)
	case "found unknown escape character", "did not find expected hexadecimal number", "found invalid Unicode character escape code":
		return r.escapeProblem(at)
	case "did not find expected comment or line break", "found an indentation indicator equal to 0":
		return Problem{at, CodeBadBlockHeader, "behind | or > only the line may end", "begin the text on the next line, indented"}
	case "found a comment without preceding whitespace":
		return Problem{at, CodeBadComment, "a # directly behind a value is no comment", "put a space before the #, or the value in quotes"}
	case "did not find expected alphabetic or numeric character":
		return nameProblem(context, at, from)
	}
	if strings.Contains(what, "tab character") {
		return Problem{at, CodeTab, "a tab stands where indentation is needed", "indent with spaces; YAML counts no tabs"}
	}
	if strings.HasPrefix(what, "unknown anchor") {
		return aliasProblem(at)
	}
	if strings.Contains(context, "directive") {
		return directiveProblem(from)
	}
	if strings.Contains(context, "tag") || what == "found undefined tag handle" {
		return tagProblem(from)
	}
	return Problem{}
}

// colonProblem tells a second colon in a value from a line indented too far.
func colonProblem(before string, at Position) Problem {
	if strings.Contains(before, ": ") || strings.HasSuffix(strings.TrimRight(before, " "), "}") || strings.HasSuffix(before, "]") {
		return Problem{at, CodeColonInValue, "a colon followed by a space stands inside a value",
			"put the whole value in quotes, or the key on a line of its own"}
	}
	at.Column = len(before) - len(strings.TrimLeft(before, " ")) + 1
	return Problem{at, CodeIndentation, "this line is indented below a line that already has a value",
		"give it the indentation of the line it belongs with"}
}

// colonMissing words a line that is neither key nor item.
func (r *reader) colonMissing(from Position) Problem {
	mend := "write key: value"
	if colon := strings.IndexByte(r.lines.text(from.Line), ':'); colon >= 0 {
		mend = "write a space after the colon"
	}
	return Problem{from, CodeMissingColon, "this line has no key with a colon and a space", mend}
}

// escapeProblem words a backslash sequence. In JSON the pairs of \u that write
// one character are legal and still not understood by YAML.
func (r *reader) escapeProblem(at Position) Problem {
	if r.json {
		return Problem{at, CodeBadEscape, "a character written as a pair of \\u escapes is not understood", "write the character itself"}
	}
	return Problem{at, CodeBadEscape, "this backslash sequence does not exist",
		"double the backslash, use 'single quotes', where it has no meaning, or write the character itself"}
}

// nameProblem words a * or & without a name behind it.
func nameProblem(context string, at, from Position) Problem {
	if from.Line == 0 {
		from = at
	}
	if strings.Contains(context, "anchor") {
		return anchorProblem(from)
	}
	return aliasProblem(from)
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}

// parserError words what the parser says while it puts lines together.
func (r *reader) parserError(what string, at, from Position) Problem {
	before, after := r.split(at)
	startsLine := strings.TrimLeft(before, " ") == ""
	switch what {
	case "did not find expected key", "did not find expected '-' indicator":
		if !startsLine {
			return Problem{at, CodeTextAfterValue, "text stands behind the end of a value",
				"put the whole value in 'single quotes' and write a single quote inside it twice; if it looks right, a quote is missing further up"}
		}
		return lineProblem(after, at)
	case "did not find expected ',' or ']'":
		return flowProblem("[", "]", at, from)
	case "did not find expected ',' or '}'":
		return flowProblem("{", "}", at, from)
	case "did not find expected node content":
		return Problem{at, CodeMissingValue, "a value is missing here", "write a value before this place, or take the comma or bracket out"}
	case "did not find expected <document start>", "found unexpected content after document-end marker":
		return Problem{at, CodeTextAfterValue, "text stands behind the end of the file's mapping",
			"take out the bracket that closes it too early, or the text"}
	case "did not find expected <document end> before directive":
		return directiveProblem(at)
	}
	return Problem{}
}

// lineProblem words a line that fits none above it.
func lineProblem(after string, at Position) Problem {
	if strings.HasPrefix(after, "- ") || after == "-" {
		return Problem{at, CodeIndentation, "a list item stands where a key is expected",
			"line its dash up with the other dashes, or indent it below its key"}
	}
	return Problem{at, CodeIndentation, "this line lines up with none above it",
		"give it the indentation of the line it belongs with"}
}

// flowProblem tells a forgotten comma from a bracket that is never closed.
func flowProblem(open, shut string, at, from Position) Problem {
	if at.Line == from.Line && at.Column > 0 {
		return Problem{at, CodeMissingComma, "between " + open + " and " + shut + " a comma is missing before this place",
			"write the comma, close the " + open + ", or put the value in quotes"}
	}
	if at.Column == 0 { // the end of the file
		return Problem{from, CodeUnclosedBracket, "the " + open + " opened here is never closed", "write the missing " + shut}
	}
	return Problem{from, CodeUnclosedBracket,
		fmt.Sprintf("the %s opened here is not closed; line %d no longer fits into it", open, at.Line),
		fmt.Sprintf("write the missing %s or comma before line %d", shut, at.Line)}
}
