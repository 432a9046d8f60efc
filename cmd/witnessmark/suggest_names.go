package main

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/report"
)

// names knows what options and arguments may be. Definitions are read only where
// something of them is asked for: those that ship, and those of the firm around the
// working folder.
type names struct{ around surroundings }

// library reads the definitions; nil where that is not possible.
func (n *names) library() *checks.Library {
	here, err := n.around.folder()
	if err != nil {
		return nil
	}
	l, err := checks.OpenLibrary(checks.Options{Paths: []string{here}, Version: n.around.version, Shipped: n.around.shipped})
	if err != nil {
		return nil
	}
	return l
}

// value suggests values of an option; a nil one has none.
func (n *names) value(command string, option cli.Flag, typed string) suggestion {
	if option == nil {
		return suggestion{kind: someWord}
	}
	return n.called(command, option.Names()[0], placeholderOf(option), typed)
}

// argument suggests what may stand at a place among the arguments.
func (n *names) argument(path string, c *cli.Command, place int) suggestion {
	if c == nil {
		return suggestion{kind: someWord}
	}
	return n.called(path, "", argumentOf(c, path, place), "")
}

// called suggests what a placeholder of the help stands for. The option is empty for
// an argument.
func (n *names) called(command, option, placeholder, typed string) suggestion {
	s := suggestion{kind: someWord}
	switch {
	case fixedWords.MatchString(placeholder):
		s.words = asWords(strings.Split(placeholder, "|"))
	case placeholder == "FORMAT[:PATH]":
		if format, _, ok := strings.Cut(typed, ":"); ok {
			return suggestion{kind: aFile, prefix: format + ":"}
		}
		s.words = formatWords(command)
	case placeholder == "LIST":
		before := typed[:strings.LastIndex(typed, ",")+1]
		s.words = asWords(thresholdWords())
		return suggestion{kind: someWord, words: s.behind(before).words}
	case placeholder == "GRADE":
		for _, g := range limit.Grades() {
			s.words = append(s.words, word{text: string(g)})
		}
	case placeholder == "STAGE":
		s.words = asWords(fact.MomentNames())
	case placeholder == "DIR":
		s.kind = aFolder
	case slices.ContainsFunc([]string{"PATH", "FILE", "JOB"}, func(w string) bool { return strings.Contains(placeholder, w) }):
		s.kind = aFile
	case slices.Contains([]string{"NAME", "REGION", "MEASURE"}, placeholder):
		s.words = n.defined(command, option)
	}
	return s
}

// defined suggests names from the definitions.
func (n *names) defined(command, option string) []word {
	l := n.library()
	if l == nil {
		return nil
	}
	var sets, regions []string
	for _, s := range l.Sets {
		sets = append(sets, s.Source.Name)
		if i := strings.LastIndex(s.Source.Name, "/"); i > 0 {
			regions = append(regions, s.Source.Name[:i])
		}
	}
	for _, p := range l.Products {
		sets = append(sets, p.Source.Name)
	}
	for _, r := range l.Firm.Required {
		regions = append(regions, r.Region)
	}
	switch {
	case option == "rule-set":
		return asWords(sets)
	case option == "region":
		slices.Sort(regions)
		return asWords(slices.Compact(regions))
	case option == "measure":
		return asWords(l.Shape.Paths())
	case command == "explain":
		return asWords(l.Explainer().Names())
	case command == "calculate":
		var out []word
		for _, m := range l.Measures("") {
			out = append(out, word{m.Path, m.Label.In("en")})
		}
		return out
	}
	return nil
}

// formatWords suggests formats of the reports of a command.
func formatWords(command string) (out []word) {
	switch command {
	case "lint":
		for _, f := range report.Formats() {
			out = append(out, word{f.Name, f.Summary})
		}
	case "limits":
		out = asWords(append(limitsFormats(false), limitsFormats(true)[0]))
	case "limits check":
		out = asWords(checkFormats)
	}
	return out
}

func asWords(texts []string) (out []word) {
	for _, t := range texts {
		out = append(out, word{text: t})
	}
	return out
}
