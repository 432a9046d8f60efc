package define

import (
	"errors"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/limit"
)

// wordsTogether makes alternatives that are words one, beside alternatives that say
// in brackets of which words of a list they ask.
func wordsTogether(all []limit.Constraint) []limit.Constraint {
	var words, brackets []limit.Constraint
	for _, c := range all {
		if c.Brackets() {
			brackets = append(brackets, c)
		} else {
			words = append(words, c)
		}
	}
	if len(brackets) == 0 || len(words) == 0 {
		return all
	}
	one := words[0]
	if len(words) > 1 {
		one = limit.Constraint{Op: limit.Any, Args: words}
	}
	return append([]limit.Constraint{{Op: limit.Some, Args: []limit.Constraint{one}}}, brackets...)
}

var errList = errors.New("of a list of words [...x] asks x of every word, and [a, b, ...] asks for each of them among the words; nothing else in brackets is understood")

// wordList reads what is asked of a list of words: [...x] asks it of every word,
// [a, b, ...] asks for words that must be among them, in any order.
func wordList(v cue.Value, depth int) (*limit.Constraint, error) {
	it, err := v.List()
	if err != nil {
		return nil, errList
	}
	out := &limit.Constraint{Op: limit.All}
	for it.Next() {
		c, err := wordsIn(it.Value(), depth)
		if err != nil {
			return nil, err
		}
		out.Args = append(out.Args, limit.Constraint{Op: limit.Some, Args: []limit.Constraint{*c}})
	}
	rest := v.LookupPath(cue.MakePath(cue.AnyIndex))
	switch named := len(out.Args); {
	case !rest.Exists() && named > 0:
		return nil, errors.New("a list that is closed would have to be these words and no others, in this order; write [a, b, ...] for words that must be among them")
	case !rest.Exists():
		return nil, errList
	case named == 0:
		c, err := wordsIn(rest, depth)
		if err != nil {
			return nil, err
		}
		return &limit.Constraint{Op: limit.Every, Args: []limit.Constraint{*c}}, nil
	case rest.IncompleteKind() != cue.TopKind:
		return nil, errList
	case named == 1:
		return &out.Args[0], nil
	}
	return out, nil
}

// wordsIn reads what is asked of a word of a list.
func wordsIn(v cue.Value, depth int) (*limit.Constraint, error) {
	c, err := constraintOf(v, depth+1)
	if err == nil && (c == nil || c.Op == limit.Some || c.Op == limit.Every) {
		err = errList
	}
	return c, err
}
