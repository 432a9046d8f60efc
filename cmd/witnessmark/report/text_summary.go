package report

import (
	"slices"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

// summary writes a job in one line: how its findings came out, how much was compared,
// and what was not judged.
func (w *jobWriter) summary() {
	w.place(w.file, jobfile.Position{})
	if w.job.Result == nil {
		w.own(unreadWords)
		w.problemCount()
		w.end()
		return
	}
	w.jobName("job ")
	w.own(": ")
	n := w.tally()
	found := map[judge.Kind]int{}
	for i := range w.job.Result.Outcomes {
		if k := w.job.Result.Outcomes[i].Kind; k.IsFinding() || k == judge.Accepted {
			found[k]++
		}
	}
	switch {
	case w.job.Result.SetAside() || n.values == 0 && len(found) == 0:
	case len(found) == 0:
		w.own("no finding; ")
	default:
		before := ""
		for _, k := range judge.Kinds() {
			if found[k] > 0 {
				w.own(before, plural(found[k], "outcome ", "outcomes ")).in(w.paint.of(k), spoken(k))
				before = ", "
			}
		}
		w.own("; ")
	}
	w.compared(&n, false)
	n.kinds[judge.NotChecked] = 0 // stands among the findings
	w.rest(&n)
	w.judgedBy()
	w.withoutCount()
	w.problemCount()
	w.own(".").end()
}

// withoutCount says how many limits judged nothing, where the full report names them.
func (w *jobWriter) withoutCount() {
	if w.job.Result.SetAside() {
		return
	}
	all, blocking := w.idleLimits()
	if all > 0 {
		w.own("; ")
		w.idle(all, blocking)
	}
	if n := len(slices.Collect(w.job.Result.BrokenLimits())); n > 0 {
		w.own("; ", plural(n, "limit is", "limits are"), " broken")
	}
}

func (w *jobWriter) problemCount() {
	if n := len(w.job.Problems); n > 0 {
		w.own("; ", plural(n, "problem", "problems"))
	}
}

// repositorySummary counts what came out across files.
func repositorySummary(t *lines, r *checks.Run) {
	sums, across := map[judge.Kind]int{}, map[judge.Kind]int{}
	for i := range r.Repository.Premises {
		for k := range r.Repository.Premises[i].Outcomes {
			sums[r.Repository.Premises[i].Outcomes[k].Kind]++
		}
	}
	for i := range r.Repository.Outcomes {
		across[r.Repository.Outcomes[i].Kind]++
	}
	if n := len(r.Repository.Premises); n > 0 {
		t.own("Sums over ", plural(n, "property", "properties"))
		if len(sums) == 0 {
			t.own(": no comparison with a limit")
		}
		t.kinds(": ", sums)
		t.own(".").end()
	}
	if len(across) > 0 {
		t.own("Checks across files")
		t.kinds(": ", across)
		t.own(".").end()
	}
}
