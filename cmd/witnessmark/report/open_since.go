package report

import "witnessmark.example/cmd/witnessmark/since"

// compared takes over what is said of it beside the base.
func (o *Open) compared(v since.Verdict) {
	o.State = v.State
	if v.Was == nil {
		return
	}
	o.InBase = spoken(v.Was.Kind)
	if v.Was.Value != "" {
		o.InBase += ", " + v.Was.Value
	}
	if !v.Was.Blocking {
		o.InBase += ", advisory"
	}
}

// left lists what stood open in the base and does no more, with the state fixed or
// gone; of these only fixed is good news. It is complete after the last job.
func (s *openSink) left() []Open {
	if s.since == nil {
		return nil
	}
	var out []Open
	for i := range s.since.Left {
		l := &s.since.Left[i]
		t := &lines{path: func(file string) string { return file }}
		o := Open{Name: l.Name, Kind: l.Kind, Blocking: l.Blocking, Job: l.Job, File: l.File, Fact: l.Fact, State: l.State, Key: keyOf(l.Name, l.File, l.Fact)}
		o.Text = sentenceCase(t.sentence(func() { t.leftWords(l) }))
		out = append(out, o)
	}
	return out
}
