package jobfile

import (
	"fmt"
	"slices"
	"strconv"
	"unicode/utf8"
)

// Problem is one reason why a file was refused.
type Problem struct {
	Pos     Position // zero where the whole file is meant
	Code    string   // one of the Code constants; stable, for programs
	Message string   // what is wrong
	Mend    string   // what to do about it
}

// String returns "line:column: message; mend", leaving out what is unknown.
func (p Problem) String() string {
	text := p.Message
	if p.Mend != "" {
		text += "; " + p.Mend
	}
	switch {
	case p.Pos.Line == 0:
		return text
	case p.Pos.Column == 0:
		return fmt.Sprintf("%d: %s", p.Pos.Line, text)
	}
	return fmt.Sprintf("%d:%d: %s", p.Pos.Line, p.Pos.Column, text)
}

// Codes of the file as a whole.
const (
	CodeTooLarge     = "too-large"     // more bytes than Limits.Bytes
	CodeNotFound     = "not-found"     // no such file
	CodeDanglingLink = "dangling-link" // a link to a file that is not there
	CodeLinkLoop     = "link-loop"     // links that lead back to themselves
	CodePermission   = "permission"    // may not be read
	CodeDirectory    = "directory"     // a folder, not a file
	CodeNotAFile     = "not-a-file"    // a device, pipe or socket
	CodeBadPath      = "bad-path"      // not a path io/fs accepts
	CodeUnreadable   = "unreadable"    // any other error while reading
)

// Codes of the bytes.
const (
	CodeEncoding    = "encoding"            // UTF-16 or UTF-32
	CodeBinary      = "binary"              // not a text file
	CodeInvalidUTF8 = "invalid-utf8"        // a byte sequence that is not UTF-8
	CodeControl     = "control-character"   // C0 except tab and line break, DEL, C1, U+FFFE, U+FFFF
	CodeLineBreak   = "line-break"          // lone CR, NEL, U+2028, U+2029, FF, VT
	CodeBidi        = "bidi-control"        // a character that reorders the text shown
	CodeInvisible   = "invisible-character" // zero-width space, word joiner, soft hyphen
	CodeStrayBOM    = "stray-bom"           // byte order mark not at the start
	CodeTab         = "tab-indentation"     // a tab where indentation is needed
	CodeOddIndent   = "odd-indentation"     // a no-break or other wide space in the indentation
)

// Codes of the syntax.
const (
	CodeSyntax          = "syntax"             // anything without a code of its own
	CodeColonInValue    = "colon-in-value"     // note: a: b
	CodeIndentation     = "bad-indentation"    // a line that fits no line above
	CodeUnclosedQuote   = "unclosed-quote"     // a quote that is never closed
	CodeUnclosedBracket = "unclosed-bracket"   // { or [ that is never closed
	CodeMissingComma    = "missing-comma"      // two entries in { } or [ ] run together
	CodeMissingColon    = "missing-colon"      // a line that is neither key nor item
	CodeMissingValue    = "missing-value"      // a bracket or comma where a value belongs
	CodeTextAfterValue  = "text-after-value"   // text behind a closing quote or bracket
	CodeReserved        = "reserved-character" // a value that begins with @ or `
	CodeListInLine      = "list-in-line"       // key: - item
	CodeBadEscape       = "bad-escape"         // a backslash sequence that does not exist
	CodeBadBlockHeader  = "bad-block-header"   // text behind | or >
	CodeBadComment      = "bad-comment"        // # directly behind a value
	CodeJSON            = "json-syntax"        // not strict JSON, in a .json file
)

// Codes of the strict pass over the tree.
const (
	CodeEmpty            = "empty"                  // nothing, or only comments
	CodeSeveralDocuments = "several-documents"      // a second document
	CodeRoot             = "root-not-mapping"       // the file is not a mapping
	CodeDirective        = "directive"              // a line beginning with %
	CodeDuplicateKey     = "duplicate-key"          // one key twice in a mapping
	CodeAnchor           = "anchor"                 // &name
	CodeAlias            = "alias"                  // *name
	CodeMergeKey         = "merge-key"              // <<
	CodeTag              = "tag"                    // !type
	CodeComplexKey       = "complex-key"            // a key that is no simple word
	CodeNullKey          = "null-key"               // no key, ~ or null before the colon
	CodeTooDeep          = "too-deep"               // more than Limits.Depth
	CodeTooMany          = "too-many-values"        // more than Limits.Nodes
	CodeTooLong          = "too-long"               // more than Limits.ScalarBytes
	CodeMultiLinePlain   = "multi-line-plain"       // a value without quotes on several lines
	CodeQuoteOverFields  = "quote-over-fields"      // a quote that swallows lines that look like fields
	CodeLeadingZero      = "leading-zero"           // 010
	CodeNumberBase       = "number-base"            // 0o17, 0x1F, 0b1
	CodeUnderscore       = "underscore-number"      // 1_000
	CodeBase60           = "base-60"                // 1:30
	CodeNotANumber       = "not-a-number"           // .inf, .nan
	CodeCommaInFlow      = "comma-in-flow"          // {set: 5,8 N·m}
	CodeKeyWithoutValue  = "flow-key-without-value" // {a, b: 1}
	CodePairInList       = "pair-in-list"           // [a: 1]
	CodePositionLost     = "position-lost"          // a value that could not be found again in the bytes
)

// perCode is how many problems of one code are listed; the rest is counted.
// A file in the wrong encoding would give one per letter otherwise.
const perCode = 10

// problems collects what is wrong with one file.
type problems struct {
	list   []Problem
	hidden map[string]int // by code, beyond perCode; nil until needed
}

// add notes one problem.
func (ps *problems) add(pos Position, code, message, mend string) {
	if ps.room(code) {
		ps.list = append(ps.list, Problem{Pos: pos, Code: code, Message: message, Mend: mend})
	}
}

// room reports whether one more problem of a code is to be listed, and counts
// it if not. Asking first saves working out the position of thousands.
func (ps *problems) room(code string) bool {
	same := 0
	for i := range ps.list {
		if ps.list[i].Code == code {
			same++
		}
	}
	if same < perCode {
		return true
	}
	if ps.hidden == nil {
		ps.hidden = make(map[string]int)
	}
	ps.hidden[code]++
	return false
}

// sorted returns the problems by position. Where some were not listed, the
// last one listed of that code says how many.
func (ps *problems) sorted() []Problem {
	slices.SortStableFunc(ps.list, func(a, b Problem) int {
		switch {
		case a.Pos.before(b.Pos):
			return -1
		case b.Pos.before(a.Pos):
			return 1
		}
		return 0
	})
	for code, more := range ps.hidden {
		for i := len(ps.list) - 1; i >= 0; i-- {
			if ps.list[i].Code == code {
				ps.list[i].Message += fmt.Sprintf(" (and %d more of this kind)", more)
				break
			}
		}
	}
	return ps.list
}

// quoted renders text from the file for a message: escaped, so that it cannot
// steer a terminal, and cut to a length that leaves the message readable.
func quoted(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return strconv.Quote(s)
	}
	cut := 0
	for range most {
		_, size := utf8.DecodeRuneInString(s[cut:])
		cut += size
	}
	return strconv.Quote(s[:cut] + "…")
}

// shown renders text from the file for the reader to copy: as it is where that
// is harmless and short, otherwise like quoted.
func shown(s string) string {
	if q := quoted(s); q != `"`+s+`"` {
		return q
	}
	return s
}
