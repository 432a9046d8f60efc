package limit

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// Try judges a value as a job would write it by the limit alone. Unknown means
// that the verdict depends on other facts, or that the limit does not apply to
// the value by a condition on the measure itself. An error says why the value
// could not stand in a job.
func (l *Compiled) Try(written string) (verdict Truth, applies bool, err error) {
	v, err := l.read(written)
	if err != nil {
		return Unknown, false, err
	}
	for _, k := range l.own() {
		if k.refers() {
			return Unknown, true, nil
		}
		if k.evaluate(&v, v.Quantity, nil).Holds != Yes {
			return Unknown, false, nil
		}
	}
	p := l.forSystem(v.Quantity.Unit().System())
	if !p.isNumber() {
		switch accept, refuse := p.may(&v); {
		case accept && refuse:
			return Unknown, true, nil
		case refuse:
			return No, true, nil
		}
		return Yes, true, nil
	}
	if p.refers() {
		return Unknown, true, nil
	}
	return p.evaluate(&v, v.Quantity, nil).Holds, true, nil
}

// read reads a value as a job file would have it.
func (l *Compiled) read(written string) (fact.Value, error) {
	leaf := l.Way.Leaf
	v := fact.Value{State: fact.Known, Written: written, Text: written}
	var err error
	switch {
	case leaf.Many:
		return l.readList(v)
	case leaf.Type == fact.Quantity:
		v.Quantity, err = quantity.Parse(written, leaf.Of, quantity.Options{})
	case leaf.Type == fact.Count:
		v.Quantity, err = countOf(written, leaf)
	case leaf.Type == fact.Truth:
		v.Truth = written == "true" || written == "yes"
		if !v.Truth && written != "false" && written != "no" {
			err = fmt.Errorf("%s takes true or false, not %q", leaf.Path, written)
		}
	default:
		err = isWord(leaf, written)
	}
	return v, err
}

// isWord says why a text could not stand as a word of a fact.
func isWord(leaf *fact.Leaf, written string) error {
	if len(leaf.Words) == 0 || slices.Contains(leaf.Words, written) {
		return nil
	}
	return fmt.Errorf("%s is never %q%s; it is one of %s", leaf.Path, written, nearest.Hint(nearest.Of(written, leaf.Words)), strings.Join(leaf.Words, ", "))
}

// readList reads a list of words in brackets, or one word without.
func (l *Compiled) readList(v fact.Value) (fact.Value, error) {
	text := strings.TrimSpace(v.Written)
	inner, bracketed := strings.CutPrefix(text, "[")
	if inner, bracketed = strings.CutSuffix(inner, "]"); !bracketed {
		inner = text
	}
	v.More = &fact.More{}
	for _, word := range strings.Split(inner, ",") {
		word = strings.TrimSpace(word)
		if err := isWord(l.Way.Leaf, word); err != nil {
			return v, err
		}
		v.More.List = append(v.More.List, fact.Value{State: fact.Known, Written: word, Text: word})
	}
	return v, nil
}

// countOf reads a whole number, with what is counted behind it or not.
func countOf(written string, leaf *fact.Leaf) (quantity.Quantity, error) {
	number := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(written), leaf.Noun), " ")
	n, err := quantity.ParseDecimal(number)
	if err != nil || n.Exp != 0 || n.Coef < int64(leaf.Least) {
		return quantity.Quantity{}, fmt.Errorf("%s takes a whole number of %s, at least %d, not %q", leaf.Path, leaf.Noun, leaf.Least, written)
	}
	return quantity.New(n, leaf.Of), nil
}

// Candidates lists values to show on either side of a limit on words: every word
// of the enumeration, true and false, else the words that the limit names, the
// example of the field, and one that nobody names.
func (l *Compiled) Candidates() []string {
	leaf := l.Way.Leaf
	switch {
	case leaf.Type == fact.Truth:
		return []string{"true", "false"}
	case len(leaf.Words) > 0:
		return leaf.Words
	}
	var out []string
	for _, w := range l.within.candidates(nil) {
		out = append(out, w.text)
	}
	return append(out, leaf.Example, "x")
}
