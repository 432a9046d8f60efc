package checks

import (
	"fmt"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // so that dates do not depend on the machine

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/propose"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/register"
)

// worker judges one file after the other and reuses its memory.
type worker struct {
	e       *engine
	reader  *jobfile.Reader
	decoder *fact.Decoder
	judging *judge.Judge
	trials  *judge.Judge // for values that are only supposed
	tally   *tally
	zones   map[string]*time.Location
	effects map[changed]*propose.Effect
	used    *entries // of registers, where private values are left out
}

func newWorker(e *engine) *worker {
	house := judge.House{Required: e.firm.Required, Source: e.book.source}
	used := &entries{Firm: e.firm, copies: map[*fact.Instance]*fact.Instance{}}
	var elsewhere fact.Elsewhere = e.firm
	if e.redaction != nil {
		elsewhere = used
	}
	return &worker{e: e, used: used, reader: jobfile.NewReader(jobfile.Limits{}), judging: judge.New(house), trials: judge.New(house), tally: newTally(), zones: map[string]*time.Location{}, effects: map[changed]*propose.Effect{},
		decoder: fact.NewDecoder(e.shape, elsewhere, quantity.Options{DecimalComma: e.firm.DecimalComma})}
}

// judge reads and judges one file and renders it for every sink.
func (w *worker) judge(index int, file jobFile) *judged {
	out := &judged{index: index, file: file}
	f, problems := w.reader.ReadFS(w.e.place.fsys, file.name)
	out.addProblems(problems)
	job := &Job{File: file.name, Problems: out.problems}
	if f == nil {
		out.unread = true
		if w.e.redaction != nil {
			w.e.redaction.unread(out.problems)
		}
		w.render(out, job)
		return out
	}
	facts := w.decoder.Decode(f)
	out.addProblems(facts.Problems)
	w.describe(job, facts, f)
	named := w.ruleSets(out, facts)
	out.plan = w.e.book.plan(named, w.products(facts))
	day := w.e.asOf.Day(w.zone(out, facts))
	out.part, out.hasPart = w.part(file.name, job, facts, out.plan, day), true
	if !file.wanted {
		out.problems = nil // they are reported when the file is linted itself
		w.redact(out, job, facts, f)
		return out
	}
	names := func(name string) bool { return slices.Contains(named, name) }
	job.Result = w.judging.Job(facts, out.plan, names, day)
	w.propose(job, out.plan, names, named, day)
	job.Problems = out.problems
	w.tally.add(out.plan, job.Result)
	w.redact(out, job, facts, f)
	w.render(out, job)
	return out
}

// redact leaves private values out of the job where that is asked for.
func (w *worker) redact(out *judged, job *Job, facts *fact.Facts, f *jobfile.File) {
	if w.e.redaction != nil {
		out.words = w.e.redaction.job(out, job, facts, f, w.used)
	}
}

// propose looks for values with which findings would go away.
func (w *worker) propose(job *Job, plan *limit.Plan, names judge.Names, ruleSets []string, day fact.Day) {
	if w.e.withoutProposals || !slices.ContainsFunc(job.Result.Outcomes, func(o judge.Outcome) bool {
		return o.Limit != nil && (o.Kind == judge.Outside || o.Kind == judge.TooClose)
	}) {
		return
	}
	trial := propose.Job{Decoder: w.decoder, Tables: w.e.tables,
		Effect: func(l *fact.Leaf) *propose.Effect { return w.effect(plan, l) },
		Judge: func(f *fact.Facts, some [][]*limit.Planned) *judge.Result {
			return w.trials.Some(f, plan, some, names, day)
		},
		Metric: !slices.ContainsFunc(ruleSets, func(s string) bool { return strings.HasPrefix(s, "us/") })}
	job.Proposals = trial.For(job.Result)
}

// changed is a fact whose value is supposed to be another, under one plan.
type changed struct {
	plan *limit.Plan
	leaf *fact.Leaf
}

// effect is what another value of a fact may change.
func (w *worker) effect(plan *limit.Plan, l *fact.Leaf) *propose.Effect {
	key := changed{plan, l}
	if w.effects[key] == nil {
		w.effects[key] = propose.NewEffect(w.e.shape, plan, l)
	}
	return w.effects[key]
}

func (o *judged) addProblems(problems []jobfile.Problem) {
	for _, p := range problems {
		o.problems = append(o.problems, Problem{File: o.file.name, At: p.Pos, Code: p.Code, Message: p.Message, Mend: p.Mend})
	}
}

func (w *worker) render(out *judged, job *Job) {
	if !out.file.wanted {
		return
	}
	if out.unread {
		w.tally.unread++
	}
	out.rendered = w.e.buffers.Get()
	for i, s := range w.e.sinks {
		out.rendered[i] = s.Render(out.rendered[i], job)
	}
}

func (w *worker) describe(job *Job, facts *fact.Facts, f *jobfile.File) {
	k := &w.e.known
	job.Digest = f.Digest
	job.Number = facts.Root.Get(k.job).Text
	if v := facts.Root.Get(k.premises); v.State == fact.Known {
		job.Premises = v.Text
	}
	job.Stage = facts.Root.Get(k.stage).Text
	job.Status = facts.Root.Get(k.status).Text
	if job.Status == "" {
		job.Status = "active"
	}
}

// ruleSets lists the rule sets the job names. A name that is none is a problem
// of the file; the others are used.
func (w *worker) ruleSets(out *judged, facts *fact.Facts) []string {
	v := facts.Root.Get(w.e.known.ruleSets)
	if v.More == nil {
		return nil
	}
	var names []string
	for i := range v.More.List {
		one := &v.More.List[i]
		if one.State != fact.Known {
			continue
		}
		if near, bad := w.e.book.unknown(one.Text); bad {
			out.problems = append(out.problems, Problem{File: out.file.name, At: one.At, Code: "unknown-rule-set",
				Message: fmt.Sprintf("there is no rule set %q, so nothing of it was checked%s", one.Text, nearest.Hint(near)),
				Mend:    "name one of: " + strings.Join(w.e.book.names, ", ")})
			continue
		}
		names = append(names, one.Text)
	}
	return names
}

// products lists the products the job uses.
func (w *worker) products(facts *fact.Facts) []string {
	var out []string
	for _, l := range w.e.known.products {
		for _, in := range facts.Entries[l.Scope.ID] {
			if v := in.Get(l); v.State == fact.Known && v.Target != nil && !slices.Contains(out, v.Target.Key) {
				out = append(out, v.Target.Key)
			}
		}
	}
	return out
}

// zone returns the job's time zone, else the firm's, else UTC.
func (w *worker) zone(out *judged, facts *fact.Facts) *time.Location {
	v := facts.Root.Get(w.e.known.zone)
	name := w.e.firm.TimeZone
	if v.State == fact.Known {
		name = v.Text
	}
	if zone := w.zones[name]; zone != nil {
		return zone
	}
	zone, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		out.problems = append(out.problems, Problem{File: out.file.name, At: v.At, Code: "unknown-time-zone",
			Message: fmt.Sprintf("there is no time zone %q; days are counted in UTC", name), Mend: "write it as in the time-zone database, for example Etc/UTC"})
		return time.UTC
	}
	w.zones[name] = zone
	return zone
}

// part makes the job's entry of the register.
func (w *worker) part(file string, job *Job, facts *fact.Facts, plan *limit.Plan, asOf fact.Day) register.Part {
	k := &w.e.known
	later := func(lacks []fact.Lack) bool { return dueLater(facts, lacks, asOf) }
	at := facts.Root.Get(k.premises).At
	if at.Line == 0 {
		at = facts.Root.Get(k.job).At
	}
	p := register.Part{File: file, At: at, Concessions: judge.Concessions(facts, asOf), Job: job.Number, JobAt: facts.Root.Get(k.job).At, Premises: job.Premises,
		Stage: facts.Stage, Doubt: facts.Doubt || len(facts.Problems) > 0,
		Counts: judge.NotJudged(facts) == "", AddsTo: mention(facts.Root, k.addsTo), Replaces: mention(facts.Root, k.replaces)}
	for _, l := range k.across {
		v := facts.Root.Get(l)
		s := register.Sum{Leaf: l, Known: v.State == fact.Known}
		if s.Known {
			s.Base, s.Spread = v.Quantity.Base(), v.Quantity.BaseUncertainty()
		} else if v.More != nil {
			s.Reason, s.Later = lacksText(v.More.Lacks, v.More.Reason), later(v.More.Lacks)
		}
		p.Sums = append(p.Sums, s)
	}
	for _, l := range plan.Across {
		applies, lacks := l.Applies(facts, facts.Root)
		part := register.LimitPart{Limit: l, Applies: applies, Reason: lacksText(lacks, ""), Later: later(lacks)}
		for _, by := range l.ReplacedBy {
			if t, _ := by.Applies(facts, facts.Root); t == limit.Yes && applies == limit.Yes {
				part.Applies, part.By = limit.No, by
			}
		}
		for _, with := range l.Conflicts {
			if t, _ := with.Applies(facts, facts.Root); t != limit.No && part.Applies == limit.Yes {
				part.Against = with
			}
		}
		p.Limits = append(p.Limits, part)
	}
	if facts.Doubt {
		for i := range p.Sums {
			if p.Sums[i].Known || p.Sums[i].Later {
				p.Sums[i].Known, p.Sums[i].Later, p.Sums[i].Reason = false, false, "a part of "+file+" was not understood"
			}
		}
	}
	for _, l := range k.unique {
		for _, in := range facts.Entries[l.Scope.ID] {
			gone := l.Gone != nil && in.Get(l.Gone).State == fact.Known && in.Get(l.Gone).Day <= asOf // it may stand elsewhere by now
			if m := mention(in, l); m.Name != "" && !gone {
				p.Serials = append(p.Serials, m)
			}
		}
	}
	return p
}

// dueLater tells whether all that is absent need not be recorded yet.
func dueLater(facts *fact.Facts, lacks []fact.Lack, asOf fact.Day) bool {
	for _, k := range lacks {
		if !facts.DueLater(k, asOf) {
			return false
		}
	}
	return len(lacks) > 0
}

func mention(in *fact.Instance, l *fact.Leaf) register.Mention {
	v := in.Get(l)
	if v.State != fact.Known {
		return register.Mention{}
	}
	return register.Mention{Name: strings.Clone(v.Text), Fact: in.AddressOf(l), At: v.At}
}

// lacksText says in words what is not recorded.
func lacksText(lacks []fact.Lack, reason string) string {
	if len(lacks) == 0 {
		return reason
	}
	names := make([]string, 0, len(lacks))
	for _, k := range lacks {
		if n := k.Of.AddressOf(k.Leaf); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	if len(names) == 1 {
		return names[0] + " is not recorded or could not be read"
	}
	return strings.Join(names, ", ") + " are not recorded or could not be read"
}
