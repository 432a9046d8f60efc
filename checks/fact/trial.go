package fact

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// Trial is one measure calculated from values given by hand, with the same
// functions, ways and folds as in a job: it is a job of the fewest entries that
// the measure needs.
type Trial struct {
	Value    *Value     // of the measure
	Of       *Instance  // the entry that has it
	Slots    []*Slot    // what may be given, inputs of an input behind it
	Missing  [][]*Slot  // what is not given and needed; of those that stand together one is enough
	Lacks    []Lack     // what is needed and can only be given through a measure that it belongs to
	Mistakes []string   // in what was given
	Workings []*Working // of the measure and what went into it, inputs first
}

// Slot is one value that goes into a measure of a Trial.
type Slot struct {
	Route    string   // as the measure reaches it: "stacks.equipment.module.energy"
	Symbols  []string // in the formulas that it goes into
	Level    int      // 0 for an input of the measure, 1 for an input of its inputs …
	Leaf     *Leaf    // nil where entries are counted
	Counted  *Scope   // the list whose entries are counted; nil where there is a Leaf
	Into     *Leaf    // the measure that it goes into, the first of several
	Optional bool     // the calculation may do without
	Repeated bool     // given once for each entry that is added up or compared

	within []string // routes of the entries of the folds it lies in, the innermost last
	used   bool
}

// mostEntries is how many entries a trial may have of one list.
const mostEntries = 1000

// Inputs lists what may be given to calculate a measure.
func (d *Decoder) Inputs(measure *Leaf) []*Slot {
	return d.grow(measure, nil, nil).slots
}

// Try calculates a measure from values by the Route of their slots, read as in a
// job file. The trial belongs to the decoder and is overwritten by its next use.
func (d *Decoder) Try(measure *Leaf, given map[string][]string) *Trial {
	b := d.grow(measure, d.grow(measure, nil, nil), given)
	for _, check := range b.said {
		check()
	}
	d.facts.calculate(&d.memory, d.shape.order)
	t := &Trial{Of: b.target, Value: b.target.Get(measure), Slots: b.slots, Mistakes: b.mistakes}
	for _, s := range b.slots {
		if len(given[s.Route]) > 0 && !s.used {
			t.Mistakes = append(t.Mistakes, fmt.Sprintf("%s is given, but not needed, since what it goes into is given too", s.Route))
		}
	}
	if t.Value.State == Known {
		t.gather(t.Value)
		return t
	}
	for _, k := range t.Value.More.Lacks {
		slots, s := b.empty[k], b.byRoute[b.route(k.Of, k.Leaf)]
		if s != nil && slots == nil {
			slots = []*Slot{s}
		}
		known := slices.ContainsFunc(t.Missing, func(other []*Slot) bool { return slices.Equal(other, slots) })
		switch {
		case slots == nil:
			t.Lacks = append(t.Lacks, k)
		case !known:
			t.Missing = append(t.Missing, slots)
		}
	}
	return t
}

// gather collects a calculation behind those that went into it.
func (t *Trial) gather(v *Value) {
	if v == nil || v.More == nil || v.More.From == nil || slices.Contains(t.Workings, v.More.From) {
		return
	}
	for i := range v.More.From.Inputs {
		t.gather(v.More.From.Inputs[i].Value)
	}
	t.Workings = append(t.Workings, v.More.From)
}

// trial is a Trial in the making.
type trial struct {
	d        *Decoder
	given    map[string][]string // by route
	asking   bool                // what may be given is being found out
	target   *Instance
	slots    []*Slot
	byRoute  map[string]*Slot
	routes   map[*Instance]string
	lists    map[string]string // routes of the entries of folds that are taken, and by which fold
	seen     map[Lack]bool
	empty    map[Lack][]*Slot // measures over entries of which none is given, and what would be
	said     []func()         // checks of the numbers of entries that were given
	mistakes []string
}

// need is how a value was come upon.
type need struct {
	level    int
	symbol   string
	into     *Leaf
	optional bool
	within   []string // routes of the entries of the folds it lies in
	index    int      // which of the innermost
	of       int      // how many there are
}

// grow makes the entries that the measure needs, with the values given for them.
// Without a plan it makes one entry wherever there may be several and finds out what
// may be given; that is the plan for the next time.
func (d *Decoder) grow(measure *Leaf, plan *trial, given map[string][]string) *trial {
	d.clear(&jobfile.File{Root: &jobfile.Node{Kind: jobfile.Mapping}})
	b := &trial{d: d, given: given, asking: plan == nil, byRoute: map[string]*Slot{}, routes: map[*Instance]string{}, lists: map[string]string{}, seen: map[Lack]bool{}, empty: map[Lack][]*Slot{}}
	if plan != nil {
		b.slots, b.byRoute = plan.slots, plan.byRoute
	}
	d.facts.Root = d.memory.instance(d.shape.Root)
	d.facts.Entries[0] = append(d.facts.Entries[0], d.facts.Root)
	b.routes[d.facts.Root] = ""
	b.target = b.entry(measure.Scope, measure.Scope.List.Name, nil)
	b.inputs(measure, b.target, need{level: -1})
	return b
}

// entry makes an entry of a list, in the entry up or in one made for it, or a
// product. An entry that is the only one of its list has no key.
func (b *trial) entry(sc *Scope, route string, up *Instance) *Instance {
	if sc == b.d.shape.Root {
		return b.d.facts.Root
	}
	in := b.d.memory.instance(sc)
	b.routes[in] = route
	if sc.Parent == nil {
		in.Key = route
		return in
	}
	if up == nil {
		up = b.entry(sc.Parent, strings.TrimSuffix(route, strings.TrimPrefix(sc.List.Name, sc.Parent.List.Name)), nil)
	}
	entries := &b.d.facts.Entries[sc.ID]
	if len(*entries) > 0 {
		in.Key = strconv.Itoa(len(*entries) + 1)
	}
	*entries = append(*entries, in)
	in.Parent = up
	up.Children[sc.place] = append(up.Children[sc.place], in)
	return in
}

func (b *trial) route(in *Instance, l *Leaf) string {
	return strings.TrimPrefix(b.routes[in]+"."+l.inside, ".")
}

// slot enters a value, once for all entries that have it.
func (b *trial) slot(route string, l *Leaf, counted *Scope, n need) *Slot {
	s := b.byRoute[route]
	if s == nil {
		s = &Slot{Route: route, Leaf: l, Counted: counted, Level: n.level, Into: n.into, Optional: n.optional, Repeated: len(n.within) > 0, within: n.within}
		b.byRoute[route] = s
		b.slots = append(b.slots, s)
	}
	s.Level, s.Optional = min(s.Level, n.level), s.Optional && n.optional
	if n.symbol != "" && !slices.Contains(s.Symbols, n.symbol) {
		s.Symbols = append(s.Symbols, n.symbol)
	}
	return s
}

// value enters a value and reads what was given for it; what is calculated and not
// given is followed to its inputs.
func (b *trial) value(l *Leaf, in *Instance, n need) {
	s := b.slot(b.route(in, l), l, nil, n)
	if b.seen[Lack{in, l}] {
		return
	}
	b.seen[Lack{in, l}] = true
	texts := b.given[s.Route]
	if len(texts) > 0 {
		s.used = true
		b.read(s, in.Get(l), texts, n)
		return
	}
	if l.run != nil {
		b.inputs(l, in, n)
	}
}

// read reads the text given for one entry; one text serves all of them.
func (b *trial) read(s *Slot, v *Value, texts []string, n need) {
	switch {
	case len(texts) > 1 && len(n.within) == 0:
		b.mistake("%s is given %d times", s.Route, len(texts))
		return
	case n.index >= len(texts) && len(texts) > 1:
		b.mistake("%s is given %d times, but there are %d entries that need it", s.Route, len(texts), n.of)
		return
	}
	facts := &b.d.facts
	known := len(facts.Problems)
	b.d.value(v, s.Leaf, &jobfile.Node{Kind: jobfile.Scalar, Text: texts[min(n.index, len(texts)-1)]})
	for _, p := range facts.Problems[known:] {
		b.mistake("%s: %s; %s", s.Route, p.Message, p.Mend)
	}
}

func (b *trial) mistake(form string, a ...any) {
	if m := fmt.Sprintf(form, a...); !slices.Contains(b.mistakes, m) {
		b.mistakes = append(b.mistakes, m)
	}
}

// inputs follows a measure to what goes into it.
func (b *trial) inputs(l *Leaf, in *Instance, n need) {
	n.level, n.into = n.level+1, l
	if l.run.function == nil {
		b.fold(l, in, n)
		return
	}
	optional := n.optional
	for i := range l.run.inputs {
		n.symbol, n.optional = l.run.inputs[i].symbol, optional || l.run.function.Parameters[i].Optional
		w := &l.run.inputs[i].way
		b.value(w.Leaf, b.walk(w, in), n)
	}
}

// walk follows a way and makes the entries and products on it.
func (b *trial) walk(w *Way, in *Instance) *Instance {
	for in.Scope != w.Start {
		in = in.Parent
	}
	for _, h := range w.hops {
		if h.back {
			if in.Backs[h.link.back] == nil {
				from := b.entry(h.link.Scope, b.routes[in]+"."+h.link.Field.Back, nil)
				b.tie(from, h.link, in)
			}
			in = in.Backs[h.link.back]
			continue
		}
		v := in.Get(h.link)
		if v.Target == nil {
			to := b.entry(h.link.Target, b.route(in, h.link), nil)
			if h.link.Target.Parent == nil {
				to.Key = in.AddressOf(h.link)
			}
			b.tie(in, h.link, to)
		}
		in = v.Target
	}
	return in
}

// tie lets the link of one entry name another one.
func (b *trial) tie(from *Instance, l *Leaf, to *Instance) {
	v := from.Get(l)
	v.State = Known
	if l.Many {
		if v.More == nil {
			v.More = &More{}
		}
		v.More.List = append(v.More.List, Value{State: Known, Text: to.Key, Target: to})
	} else {
		v.Text, v.Target = to.Key, to
	}
	if l.back >= 0 {
		to.Backs[l.back] = from
	}
}

// clear makes ready for the next job.
func (d *Decoder) clear(f *jobfile.File) {
	d.memory.reset()
	facts := &d.facts
	facts.Doubt = false
	facts.File, facts.Problems, facts.Workings = f, facts.Problems[:0], facts.Workings[:0]
	for i := range facts.Entries {
		facts.Entries[i] = facts.Entries[i][:0]
	}
}

// countOf reads how many entries there are.
func countOf(text string) (int, bool) {
	n, err := quantity.ParseDecimal(text)
	if err != nil || n.Exp != 0 || n.Coef < 0 || n.Coef > mostEntries {
		return 0, false
	}
	return int(n.Coef), true
}
