package jobfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
)

// strictJSON holds a .json file to strict JSON and reports whether it is. YAML
// takes most of JSON, but also comments, missing quotes and trailing commas,
// which other readers of a .json file do not.
func (r *reader) strictJSON() bool {
	body := r.data[r.lines.start(1):]
	if len(bytes.TrimSpace(body)) == 0 {
		r.empty()
		return false
	}
	var raw json.RawMessage
	err := json.Unmarshal(body, &raw)
	if err == nil {
		return true
	}
	var syntax *json.SyntaxError
	if !errors.As(err, &syntax) {
		r.probs.add(Position{}, CodeJSON, "the file cannot be read as JSON", "compare it with a job file that works")
		return false
	}
	message, mend, atEnd := jsonText(syntax.Error())
	if atEnd {
		r.probs.add(r.lastLine(), CodeJSON, message, mend)
		return false
	}
	// The offset counts the bytes read, the offending one included; that may
	// be the first of several in one character.
	at := r.lines.start(1) + max(int(syntax.Offset)-1, 0)
	if c := r.data[at]; isDigit(c) && at > 0 && r.data[at-1] == '0' {
		message, mend = "a number cannot begin with a zero", "drop the zero, or put the value in quotes if it is text"
	}
	r.probs.add(r.lines.position(at), CodeJSON, message, mend)
	return false
}

// lastLine names the end of the file, where no character stands.
func (r *reader) lastLine() Position {
	return Position{Line: r.lines.position(len(bytes.TrimRight(r.data, " \t\r\n"))).Line}
}

// jsonText words a syntax error of encoding/json by the part of its sentence
// that names the situation.
func jsonText(said string) (message, mend string, atEnd bool) {
	has := func(part string) bool { return strings.Contains(said, part) }
	switch {
	case has("unexpected end"):
		return "the file ends before the last { or [ or quote is closed", "write the missing end", true
	case has("exceeded max depth"):
		return "lists and mappings stand too deep in one another", "a job file needs six or so", false
	case has("character '/'"), has("character '#'"):
		return "JSON has no comments", "delete it, or name the file .yaml", false
	case has("looking for beginning of object key string"):
		return "a key in double quotes is expected here", "write \"key\": value; take out a comma before }", false
	case has("looking for beginning of value"):
		return "a value is expected here", "text stands in \"double quotes\"; take out a comma before ]", false
	case has("after object key:value pair"), has("after array element"):
		return "a comma or the closing bracket is missing before this place", "write it", false
	case has("after object key"):
		return "a colon is missing between key and value", "write \"key\": value", false
	case has("after top-level value"):
		return "text stands behind the end of the file's mapping", "take it out, or the bracket that closes too early", false
	case has("in string escape"), has("in \\u"):
		return "this backslash sequence does not exist in JSON", "double the backslash", false
	case has("in string literal"):
		return "a tab or line break stands inside quotes", "write \\t or \\n", false
	case has("in numeric literal"), has("in literal"):
		return "this is neither a number nor true, false or null", "put text in \"double quotes\"", false
	}
	return "this place is not JSON", "compare it with a job file that works", false
}
