package judge

// Without is how many limits of the plan found nothing to judge, since the job has
// no entry of a list.
type Without struct {
	List   string
	Limits int
}

// WithoutEntry lists the lists of which the job has no entry although limits of its
// plan are judged for them, in the order of the shape.
func (r *Result) WithoutEntry() []Without {
	if NotJudged(r.Facts) != "" {
		return nil
	}
	var out []Without
	for id, limits := range r.plan.ByScope {
		if sc := r.Facts.Shape.Scopes[id]; len(limits) > 0 && len(r.Facts.Entries[id]) == 0 && !sc.List.IsElsewhere() {
			out = append(out, Without{sc.List.Name, len(limits)})
		}
	}
	return out
}
