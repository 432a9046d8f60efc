package report

import "strconv"

// notJudged says which limits judged nothing although the job's rule sets and
// products have them: a job that records nothing must not look as if it had been
// compared, nor one that is held to a limit that is not understood.
func (w *jobWriter) notJudged() {
	if w.job.Result.SetAside() {
		return
	}
	w.withoutEntry()
	w.broken()
}

// withoutEntry says for which lists without an entry there are limits.
func (w *jobWriter) withoutEntry() {
	all, blocking := w.idleLimits()
	if all == 0 {
		return
	}
	w.own("  not judged: ")
	w.idle(all, blocking)
	w.own(", since none is recorded of ")
	before := ""
	for x := range w.job.Result.WithoutEntry() {
		w.own(before).from(x.List).own(" (", strconv.Itoa(len(x.Limits)), ")")
		before = ", "
	}
	w.own(".").end()
}

// idleLimits counts the limits of lists without an entry.
func (w *jobWriter) idleLimits() (all, blocking int) {
	for x := range w.job.Result.WithoutEntry() {
		all += len(x.Limits)
		blocking += x.Blocking()
	}
	return all, blocking
}

// idle writes how many limits found nothing to judge.
func (t *lines) idle(n, blocking int) {
	t.own(plural(n, "limit", "limits"))
	if blocking > 0 {
		t.own(ofThem(blocking, n), ",")
	}
	t.own(" found nothing to judge")
}

// broken names the limits that are not understood.
func (w *jobWriter) broken() {
	const most = 5
	var names []string
	for name := range w.job.Result.BrokenLimits() {
		names = appendNew(names, name)
	}
	if len(names) == 0 {
		return
	}
	w.own("  not judged: ", plural(len(names), "limit is", "limits are"), " broken (")
	for i, name := range names {
		if i == most {
			w.own(" and ", plural(len(names)-most, "other", "others"))
			break
		}
		if i > 0 {
			w.own(", ")
		}
		w.from(name)
	}
	w.own("), see the problems below.").end()
}

// ofThem says how many of n things are blocking, behind what they are.
func ofThem(blocking, n int) string {
	switch {
	case n == 1:
		return ", blocking"
	case blocking == n:
		return ", all of them blocking"
	}
	return ", " + strconv.Itoa(blocking) + " of them blocking"
}
