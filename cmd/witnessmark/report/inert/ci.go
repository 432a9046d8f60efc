package inert

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"
)

var (
	annotation = regexp.MustCompile(`^::(error|warning|notice) (file=[^,:]+,)?(line=\d+,)?(col=\d+,)?title=[^,:]*::.+$`)
	// unknownEscape is a % that would be taken for an escape, or for one that is not ours.
	unknownEscape = regexp.MustCompile(`%(?:[^023]|0[^AD]|2[^5C]|3[^A]|.?$)`)
)

// Annotations holds of log commands: each line is one of ours, whole, and there are no
// more of a level than the host shows.
func Annotations(got []byte, _ ...[]byte) error {
	counts := map[string]int{}
	for line := range strings.Lines(string(got)) {
		line = strings.TrimSuffix(line, "\n")
		m := annotation.FindStringSubmatch(line)
		if m == nil || strings.Count(line, "::") != 2 || strings.Contains(line, "##[") {
			return fmt.Errorf("no command of ours: %q", line)
		}
		if i := unknownEscape.FindStringIndex(line); i != nil {
			return fmt.Errorf("an escape that is not ours %s", around([]byte(line), i[0]))
		}
		if counts[m[1]]++; counts[m[1]] > 10 {
			return fmt.Errorf("more than the host shows of level %s", m[1])
		}
	}
	return Steerless(got)
}

// markdown reads pages as the hosts do, with tables and addresses that become links.
var markdown = goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser()

// Markdown holds of a page: it has no links, pictures or markup of HTML, no text outside
// code can be a mention, and all rows of a table have the cells of its heading.
func Markdown(got []byte, _ ...[]byte) error {
	err := ast.Walk(markdown.Parse(text.NewReader(got)), func(n ast.Node, in bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Link, *ast.AutoLink, *ast.Image, *ast.RawHTML, *ast.HTMLBlock, *ast.FencedCodeBlock, *ast.CodeBlock, *extast.Strikethrough, *extast.TaskCheckBox:
			return ast.WalkStop, fmt.Errorf("text of a file means something: %T", n)
		case *ast.Emphasis:
			if n.Level != 2 {
				return ast.WalkStop, errors.New("only this program sets words in bold")
			}
		case *ast.CodeSpan:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			for word := range strings.FieldsSeq(string(n.Value(got))) {
				if strings.ContainsAny(word, "@$~^") && len(strings.Trim(word, `.,;:()"'`)) > 1 {
					return ast.WalkStop, fmt.Errorf("a word that a host may read: %q", word)
				}
			}
		}
		return ast.WalkContinue, nil
	})
	return errors.Join(err, rows(got), Harmless(got))
}

// rows looks at tables as they are written: a reader drops the cells that a row has
// more than its heading, and makes up those that it has fewer.
func rows(got []byte) error {
	before := 0
	for line := range bytes.Lines(got) {
		cells := 0
		if bytes.HasPrefix(line, []byte("|")) {
			for i, c := range line {
				if c == '|' && (len(line[:i])-len(bytes.TrimRight(line[:i], `\`)))%2 == 0 {
					cells++
				}
			}
			if before > 0 && cells != before {
				return fmt.Errorf("a row with other cells than the one above: %q", line)
			}
		}
		before = cells
	}
	return nil
}

// SARIF holds of a log: messages hold no link, help is inert Markdown, and every
// reference is relative or an address of the web.
func SARIF(got []byte, _ ...[]byte) error {
	if err := JSON(got); err != nil {
		return err
	}
	var doc any
	if err := json.Unmarshal(got, &doc); err != nil {
		return err
	}
	return sarifValue("", doc)
}

func sarifValue(key string, v any) error {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			if err := sarifValue(k, x); err != nil {
				return err
			}
		}
	case []any:
		for _, x := range v {
			if err := sarifValue(key, x); err != nil {
				return err
			}
		}
	case string:
		return sarifText(key, v)
	}
	return nil
}

func sarifText(key, v string) error {
	switch key {
	case "id", "ruleId", "name", "guid", "text", "markdown":
		if v == "" {
			return fmt.Errorf("%s is empty, which the host refuses", key)
		}
	}
	switch key {
	case "text":
		if strings.Contains(v, "](") {
			return fmt.Errorf("a link: %q", v)
		}
	case "markdown":
		if err := Markdown([]byte(v)); err != nil {
			return err
		}
	case "uri":
		if u, err := url.Parse(v); err != nil || u.IsAbs() || strings.HasPrefix(v, "/") {
			return fmt.Errorf("a place outside: %q", v)
		}
	case "informationUri", "helpUri", "$schema":
		if !strings.HasPrefix(v, "https://") && !strings.HasPrefix(v, "http://") {
			return fmt.Errorf("no address of the web: %q", v)
		}
	}
	return Steerless([]byte(v))
}

// elements are those of a JUnit report.
var elements = []string{"testsuites", "testsuite", "properties", "property", "testcase", "failure", "error", "skipped"}

// XML holds of a JUnit report: it is well formed and has no other elements than ours.
func XML(got []byte, _ ...[]byte) error {
	for d := xml.NewDecoder(bytes.NewReader(got)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return Harmless(got)
		}
		if err != nil {
			return err
		}
		if start, ok := token.(xml.StartElement); ok && !slices.Contains(elements, start.Name.Local) {
			return fmt.Errorf("an element that is not ours: %s", start.Name.Local)
		}
	}
}
