package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// between stands between the words of a list that is written as one text.
const between = ", "

// wordsIn takes a list that is written as one text apart. Of free text one word may
// hold what stands between words, so that it is one.
func wordsIn(l *fact.Leaf, text string) []string {
	words := strings.Split(text, between)
	if slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(l.Words, w) }) {
		return []string{text}
	}
	return words
}

// acceptsList tells whether a constraint on a list of words accepts these. Without
// brackets one of the words is enough.
func acceptsList(c limit.Constraint, words []string) bool {
	one := func(a limit.Constraint) bool { return acceptsList(a, words) }
	switch {
	case c.Op == limit.Every:
		return !slices.ContainsFunc(words, func(w string) bool { return !acceptsText(c.Args[0], w) })
	case c.Op == limit.Some:
		return slices.ContainsFunc(words, func(w string) bool { return acceptsText(c.Args[0], w) })
	case !c.Brackets():
		return slices.ContainsFunc(words, func(w string) bool { return acceptsText(c, w) })
	case c.Op == limit.All:
		return !slices.ContainsFunc(c.Args, func(a limit.Constraint) bool { return !one(a) })
	}
	return slices.ContainsFunc(c.Args, one)
}

// listsToTry gives lists for a constraint, each as one text: every word alone, and
// those together that the constraint names.
func listsToTry(leaf *fact.Leaf, c limit.Constraint) []string {
	out := wordsToTry(leaf, c)
	if named := texts(c, nil); len(named) > 1 {
		out = append(out[:len(out):len(out)], strings.Join(named, between))
	}
	return out
}

// withSamples puts the example of a fact where a constraint takes its words from the
// list that the fact is, so that there is something to compare with.
func (b *Book) withSamples(c limit.Constraint, leaf *fact.Leaf) limit.Constraint {
	out := c
	out.Args = nil
	for _, a := range c.Args {
		out.Args = append(out.Args, b.withSamples(a, leaf))
	}
	if c.Operand == nil || c.Operand.Fact == "" {
		return out
	}
	w, err := b.Shape.Way(c.Operand.Fact)
	if err != nil {
		return out
	}
	word := sample(w.Leaf)
	if leaf.Type == fact.Link && strings.HasPrefix(sample(leaf), word+"@") {
		word = sample(leaf) // without a revision it stands for every one
	}
	out.Operand = &limit.Operand{Text: word}
	return out
}

// listWords writes what is asked of a list of words, to stand behind its name.
func listWords(c limit.Constraint, l *fact.Leaf) string {
	switch {
	case c.Op == limit.Every:
		return "each of them must be " + words(c.Args[0], l, l.Of)
	case c.Op == limit.Some:
		return words(c.Args[0], l, l.Of) + " must be among them"
	case !c.Brackets():
		return words(c, l, l.Of) + " must be among them"
	}
	if inner := named(c); inner != nil {
		return words(limit.Constraint{Op: limit.All, Args: inner}, l, l.Of) + " must be among them"
	}
	word := ", or "
	if c.Op == limit.All {
		word = " and "
	}
	parts := make([]string, len(c.Args))
	for i, a := range c.Args {
		parts[i] = listWords(a, l)
	}
	return strings.Join(parts, word)
}

// named lists what is asked of words that must all be in a list; nil where more is
// asked than that.
func named(c limit.Constraint) []limit.Constraint {
	var out []limit.Constraint
	for _, a := range c.Args {
		if c.Op != limit.All || a.Op != limit.Some {
			return nil
		}
		out = append(out, a.Args[0])
	}
	return out
}
