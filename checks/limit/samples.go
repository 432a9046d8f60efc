package limit

import (
	"math"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// sample is one value of a fact, for trying predicates on: a number in base
// units, a word, or a list of words.
type sample struct {
	number float64
	word   word
	list   *fact.Value // of a list of words
}

// accepts tells whether a predicate without bounds from facts accepts a sample.
func (p *predicate) acceptsSample(s sample) bool {
	if s.list != nil {
		return p.evaluate(s.list, s.list.Quantity, nil).Holds == Yes
	}
	if p.what == fact.Quantity || p.what == fact.Count {
		return p.acceptsBase(s.number)
	}
	return p.acceptsWord(s.word)
}

// acceptAll tells whether all predicates accept a sample.
func acceptAll(ps []*predicate, s sample) bool {
	for _, p := range ps {
		if !p.acceptsSample(s) {
			return false
		}
	}
	return true
}

// samples lists values that stand for all values a fact can have, as far as the
// predicates tell them apart: of numbers every bound, one between neighbours and
// one beyond the outermost; of an enumeration every word; of other words those
// that are named and one that is not; of a list of words every list of those. ok
// is false where there are no such samples: a bound is taken from a fact, a pattern
// looks into free text, or there are more lists than can be tried.
func samples(l *fact.Leaf, ps []*predicate) (out []sample, ok bool) {
	for _, p := range ps {
		if p.refers() {
			return nil, false
		}
	}
	return samplesOf(l, ps)
}

// samplesOf is samples for predicates that may take their bounds from facts. Of
// lists of words those that a datasheet states for its own limits are named.
func samplesOf(l *fact.Leaf, ps []*predicate) (out []sample, ok bool) {
	switch {
	case l.Type == fact.Quantity || l.Type == fact.Count:
		for _, x := range numbersOf(l, ps) {
			out = append(out, sample{number: x})
		}
		return out, true
	case l.Type == fact.Truth:
		return []sample{{word: word{truth: true}}, {word: word{truth: false}}}, true
	case l.Many && len(l.Words) > 0:
		return lists(l, toldApart(l, ps))
	case len(l.Words) > 0:
		for _, w := range l.Words {
			out = append(out, sample{word: word{text: w}})
		}
		return out, true
	}
	words := []string{"\x00"} // stands for every word that is not named
	for _, p := range ps {
		if p.matches() {
			return nil, false
		}
		for _, w := range p.candidates(nil) {
			words = append(words, w.text)
		}
	}
	if l.Many {
		return lists(l, words)
	}
	for _, w := range words {
		out = append(out, sample{word: word{text: w}})
	}
	return out, true
}

// matches tells whether a pattern is part of the predicate.
func (p *predicate) matches() bool {
	return p.op == Matches || p.op == DoesNotMatch || slices.ContainsFunc(p.args, func(a predicate) bool { return a.matches() })
}

// numbersOf lists the numbers to try for a leaf, ascending.
func numbersOf(l *fact.Leaf, ps []*predicate) []float64 {
	least, bounded := leastOf(l)
	var ends []float64
	if bounded {
		ends = append(ends, least)
	}
	for _, p := range ps {
		for _, b := range p.bounds(nil) {
			ends = append(ends, b.Number.Base())
		}
	}
	if len(ends) == 0 {
		ends = []float64{0}
	}
	slices.Sort(ends)
	var tried []float64
	for i, x := range ends {
		tried = append(tried, x)
		if i > 0 {
			tried = append(tried, (ends[i-1]+x)/2)
		}
	}
	reach := math.Max(1, math.Abs(ends[len(ends)-1])+math.Abs(ends[0]))
	tried = append(tried, ends[0]-reach, ends[len(ends)-1]+reach)
	if l.Type == fact.Count {
		tried = whole(tried)
	}
	slices.Sort(tried)
	return slices.DeleteFunc(slices.Compact(tried), func(x float64) bool { return bounded && x < least })
}

// whole turns numbers into the whole numbers at and beside them: nothing lies
// between, so that these decide.
func whole(numbers []float64) []float64 {
	var out []float64
	for _, x := range numbers {
		for d := -1.0; d <= 2; d++ {
			out = append(out, math.Floor(x)+d)
		}
	}
	return out
}

// leastOf is the smallest number that a fact can have, in base units. bounded is
// false for what may lie below zero.
func leastOf(l *fact.Leaf) (least float64, bounded bool) {
	switch {
	case l.Type == fact.Count:
		return float64(l.Least), true
	case l.Of.Kind() == quantity.Temperature:
		return 0, true // it counts from absolute zero
	}
	return 0, !l.MayBeNegative()
}

// implies tells whether every value of a fact that all of inner accept is one
// that outer accepts. It says so only where that is certain: parts with bounds
// from facts and patterns in free text count only where outer repeats them.
func implies(l *fact.Leaf, inner []*predicate, outer *predicate) bool {
	if outer.op == All {
		for i := range outer.args {
			if !implies(l, inner, &outer.args[i]) {
				return false
			}
		}
		return true
	}
	var known []*predicate
	for _, p := range parts(inner) {
		if p.describe() == outer.describe() {
			return true
		}
		if _, ok := samples(l, []*predicate{p}); ok {
			known = append(known, p)
		}
	}
	all, ok := samples(l, append(known[:len(known):len(known)], outer))
	if !ok {
		return false
	}
	for _, s := range all {
		if acceptAll(known, s) && !outer.acceptsSample(s) {
			return false
		}
	}
	return true
}

// parts takes conjunctions apart.
func parts(ps []*predicate) []*predicate {
	var out []*predicate
	for _, p := range ps {
		if p.op != All {
			out = append(out, p)
			continue
		}
		for i := range p.args {
			out = append(out, parts([]*predicate{&p.args[i]})...)
		}
	}
	return out
}

// impossible tells whether surely no value of a fact is accepted by all.
func impossible(l *fact.Leaf, ps []*predicate) bool {
	var known []*predicate
	for _, p := range parts(ps) {
		if _, ok := samples(l, []*predicate{p}); ok {
			known = append(known, p)
		}
	}
	all, ok := samples(l, known)
	if !ok || len(known) == 0 {
		return false
	}
	return !slices.ContainsFunc(all, func(s sample) bool { return acceptAll(known, s) })
}
