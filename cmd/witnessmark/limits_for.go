package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/cmd/witnessmark/report"
)

// limitsFor writes every limit on the values of one job. It judges nothing for CI:
// the exit status is trouble only where something could not be read.
func limitsFor(ctx context.Context, r *limitsRequest, around surroundings) (int, error) {
	file, err := r.jobFile(ctx, around)
	if err != nil {
		return exitTrouble, err
	}
	r.options.Paths = []string{file}
	library, err := checks.OpenLibrary(r.options)
	if err != nil {
		return exitTrouble, err
	}
	for _, name := range r.filter.Measures {
		if err := library.CheckMeasure(name); err != nil {
			return exitTrouble, err
		}
	}
	sink := checks.NewCandidateSink(library)
	run, err := around.lint(ctx, r.options, sink)
	if err != nil {
		return exitTrouble, brokenOff(ctx, err)
	}
	found := sink.Candidates()
	narrow(found, r.filter.Measures)
	err = r.write(around, func(t report.Target, s report.Settings) ([]byte, error) {
		if t.Format.Name == "json" {
			return report.LimitsForJSON(found, around.version), nil
		}
		return report.LimitsForText(found, s), nil
	})
	if err != nil || found.Unread || len(run.Problems) > 0 {
		return exitTrouble, err
	}
	return exitClean, nil
}

// jobFile finds the file of the job: a path, else a job number in the repository.
func (r *limitsRequest) jobFile(ctx context.Context, around surroundings) (string, error) {
	if info, err := os.Stat(r.job); err == nil {
		if info.IsDir() {
			return "", fmt.Errorf("--for: %s is a folder; name one job file, or a job number", r.job)
		}
		return r.job, nil
	}
	o := r.options
	o.Paths = nil
	if o.Root != "" {
		o.Paths = []string{o.Root}
	}
	root, err := checks.RootOf(o)
	if err != nil {
		return "", err
	}
	o.Paths = []string{root}
	index := checks.NewJobFiles()
	if _, err := around.lint(ctx, o, index); err != nil {
		return "", brokenOff(ctx, err)
	}
	files, unread, numbers := index.Find(r.job)
	switch {
	case len(files) == 1:
		return filepath.Join(root, filepath.FromSlash(files[0])), nil
	case len(files) > 1:
		return "", fmt.Errorf("--for: the job number %s stands in several files: %s; name one of them", r.job, strings.Join(files, ", "))
	}
	text := fmt.Sprintf("--for: there is no job file and no job number %q%s", r.job, nearest.Hint(nearest.Of(r.job, numbers)))
	if unread > 0 {
		text += fmt.Sprintf(" (%d of the job files could not be read)", unread)
	}
	return "", errors.New(text)
}

func brokenOff(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return errors.New("the run was broken off before it was complete; no report was written")
	}
	return err
}

// narrow keeps the values, sums and limits on the measures asked for.
func narrow(c *checks.Candidates, measures []string) {
	if len(measures) == 0 {
		return
	}
	wanted := func(l *limit.Compiled) bool {
		return slices.ContainsFunc(measures, func(n string) bool { return checks.MeasureMatches(l, n) })
	}
	c.Values = slices.DeleteFunc(c.Values, func(v checks.CandidateValue) bool {
		return !slices.ContainsFunc(v.Candidates, func(x checks.Candidate) bool { return wanted(x.Limit.Compiled) })
	})
	c.Sums = slices.DeleteFunc(c.Sums, func(s checks.CandidateSum) bool { return !wanted(s.Outcomes[0].Limit.Compiled) })
	c.Without = slices.DeleteFunc(c.Without, func(l *limit.Compiled) bool { return !wanted(l) })
}
