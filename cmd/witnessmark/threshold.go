package main

import (
	"errors"
	"fmt"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/nearest"
)

// defaultThreshold is the default of --fail-on.
const defaultThreshold = "outside,too_close,missing,not_checked"

// trigger is one word of --fail-on and how many outcomes of a run it means.
type trigger struct {
	word   string
	counts func(c *checks.Counts) int
}

// triggers lists the words of --fail-on, except none.
func triggers() []trigger {
	all := func(k judge.Kind) func(*checks.Counts) int {
		return func(c *checks.Counts) int { return c.ByKind[k] }
	}
	blocking := func(k judge.Kind) func(*checks.Counts) int {
		return func(c *checks.Counts) int { return c.Blocking[k] }
	}
	return []trigger{
		{"outside", all(judge.Outside)},
		{"outside-blocking", blocking(judge.Outside)},
		{"too_close", all(judge.TooClose)},
		{"missing", all(judge.Missing)},
		{"not_checked", blocking(judge.NotChecked)},
		{"not_checked-advisory", all(judge.NotChecked)},
		{"not_due", all(judge.NotDue)},
	}
}

// threshold is what makes the exit status 1. The empty one never does.
type threshold []trigger

const noThreshold = "none"

// parseThreshold reads a list of words separated by commas.
func parseThreshold(list string) (threshold, error) {
	var out threshold
	words := thresholdWords()
	none := false
	for word := range strings.SplitSeq(list, ",") {
		word = strings.TrimSpace(word)
		if word == noThreshold {
			none = true
			continue
		}
		found := false
		for _, t := range triggers() {
			if t.word == word {
				out, found = append(out, t), true
			}
		}
		if !found {
			return nil, unknownWord(word, words)
		}
	}
	if none && len(out) > 0 {
		return nil, errors.New(`"none" stands alone`)
	}
	return out, nil
}

func thresholdWords() []string {
	var words []string
	for _, t := range triggers() {
		words = append(words, t.word)
	}
	return append(words, noThreshold)
}

// reached tells whether a run has anything that counts.
func (t threshold) reached(c *checks.Counts) bool {
	for _, one := range t {
		if one.counts(c) > 0 {
			return true
		}
	}
	return false
}

func unknownWord(word string, words []string) error {
	return fmt.Errorf("%q is not known%s; use %s", word, nearest.Hint(nearest.Of(word, words)), strings.Join(words, ", "))
}
