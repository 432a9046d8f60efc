package inert

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"strings"
	"sync"

	"golang.org/x/net/html"
)

// Packed tells whether a part of a report is packed, so that nobody can look through it:
// a word that no file of a test holds. A pattern would take seconds for it.
func Packed(got []byte) bool {
	const before, behind = 100, 1000
	start := 0
	for i := 0; i <= len(got); i++ {
		if i < len(got) && isBase64[got[i]] {
			continue
		}
		if word := got[start:i]; len(word) > before+behind && bytes.ContainsAny(word[before:len(word)-behind], "+/") {
			return true
		}
		start = i + 1
	}
	return false
}

// isBase64 are the letters of what is packed.
var isBase64 = func() (all [256]bool) {
	for _, c := range []byte("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/=") {
		all[c] = true
	}
	return all
}()

// HTML holds of a page: it may load and run nothing but its own, and its
// elements, attributes and scripts are those of the plain pages.
func HTML(got []byte, plain ...[]byte) error {
	page, err := readPage(got)
	if err != nil {
		return err
	}
	if Packed(got) {
		return errors.New("a part of the page is packed and cannot be looked through; give the test fewer jobs")
	}
	if !strings.Contains(page.policy, "default-src 'none'") {
		return fmt.Errorf("no policy that forbids what is not the page's own: %q", page.policy)
	}
	allowed := map[string]bool{}
	for _, text := range plain {
		one, err := plainPage(text)
		if err != nil {
			return fmt.Errorf("the plain page: %w", err)
		}
		if page.policy != one.policy {
			return fmt.Errorf("another policy than that of the plain page: %q", page.policy)
		}
		maps.Copy(allowed, one.has)
	}
	if !ends(got) {
		return fmt.Errorf("the end of the page is swallowed")
	}
	for _, one := range page.parts {
		if !allowed[one] {
			return fmt.Errorf("what the plain page has not: %.200s", one)
		}
	}
	return Text(got)
}

// page is what an HTML page is made of, as far as text of a file must not add to it.
type page struct {
	policy string
	parts  []string // elements with their attributes, comments, scripts, styles, addresses
	has    map[string]bool
}

func (p *page) add(format string, args ...any) {
	one := fmt.Sprintf(format, args...)
	if !p.has[one] {
		p.has[one] = true
		p.parts = append(p.parts, one)
	}
}

// addresses are the attributes that lead somewhere or run something.
var addresses = map[string]bool{"href": true, "src": true, "action": true, "formaction": true, "srcset": true, "data": true, "xlink:href": true, "poster": true, "background": true, "ping": true, "srcdoc": true}

func readPage(text []byte) (*page, error) {
	root, err := html.Parse(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	p := &page{has: map[string]bool{}}
	for n := range root.Descendants() {
		switch n.Type {
		case html.CommentNode:
			p.add("comment %q", n.Data)
		case html.ElementNode:
			p.element(n)
		}
	}
	return p, nil
}

// plainPages are pages that reports were compared with: tests compare many reports with
// the same.
var plainPages sync.Map

// plainPage reads a page, once.
func plainPage(text []byte) (*page, error) {
	key := sha256.Sum256(text)
	if known, ok := plainPages.Load(key); ok {
		return known.(*page), nil
	}
	p, err := readPage(text)
	if err == nil {
		plainPages.Store(key, p)
	}
	return p, err
}

// ends tells whether the end of a page is one, and no part of an attribute, a comment
// or a script that was never closed.
func ends(text []byte) bool {
	for z := html.NewTokenizer(bytes.NewReader(text)); ; {
		switch z.Next() {
		case html.ErrorToken:
			return false
		case html.EndTagToken:
			if name, _ := z.TagName(); string(name) == "html" {
				return true
			}
		}
	}
}

func (p *page) element(n *html.Node) {
	kind, isPolicy := "", false
	for _, a := range n.Attr {
		if a.Key == "type" {
			kind = a.Val
		}
		isPolicy = isPolicy || a.Key == "http-equiv" && strings.EqualFold(a.Val, "Content-Security-Policy")
	}
	for _, a := range n.Attr {
		p.add("<%s %s>", n.Data, a.Key)
		switch {
		case isPolicy && a.Key == "content":
			p.policy = a.Val
		case addresses[a.Key] && strings.HasPrefix(a.Val, "#"): // within the page
		case addresses[a.Key], strings.HasPrefix(a.Key, "on"):
			p.add("<%s %s=%q>", n.Data, a.Key, a.Val)
		case a.Key == "style": // what it may set is told by its properties; values are numbers
			for _, one := range strings.Split(a.Val, ";") {
				name, value, _ := strings.Cut(one, ":")
				p.add("<%s style=%q>", n.Data, strings.TrimSpace(name))
				if strings.ContainsAny(value, `("'\@`) {
					p.add("<%s style=%q>", n.Data, one)
				}
			}
		}
	}
	p.add("<%s>", n.Data)
	if n.Data == "style" || n.Data == "script" && !strings.HasSuffix(kind, "/json") && kind != "text/plain" {
		for c := range n.ChildNodes() {
			p.add("%s: %s", n.Data, c.Data)
		}
	}
}
