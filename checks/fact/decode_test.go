package fact

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// small is a shape with every kind of field, made by hand.
func small() *Shape {
	f := func(path string, t Type, change func(*Field)) Field {
		out := Field{Path: path, Type: t, Label: Labels{"en": path}, Meaning: path}
		if change != nil {
			change(&out)
		}
		return out
	}
	return &Shape{
		Lists: []List{{Name: "rooms", Key: "id"}, {Name: "units", Key: "id"}, {Name: "stacks", Key: "id"}, {Name: "stacks.slots", Parent: "stacks", Key: "n"}, {Name: "equipment.storage"}},
		Fields: []Field{
			f("job", Text, nil), f("stage", Word, func(f *Field) { f.Words, f.Stage = StageNames(), true }),
			f("dates.installed", Date, nil),
			f("rooms.id", Key, nil), f("rooms.kind", Word, func(f *Field) { f.Words = []string{"garage", "cellar"} }),
			f("units.id", Key, nil), f("units.room", Link, func(f *Field) { f.Link = "rooms" }),
			f("units.stacks", Link, func(f *Field) { f.Link, f.Many, f.Back = "stacks", true, "unit" }),
			f("stacks.id", Key, nil), f("stacks.gap.wall", Quantity, func(f *Field) { f.Unit, f.Built, f.Due = "mm", Installed, Due{At: AtDesign} }),
			f("stacks.count", Count, func(f *Field) { f.Unit, f.Due = "modules", Due{At: AtDesign} }),
			f("stacks.marked", Truth, nil), f("stacks.product", Link, func(f *Field) { f.Link = "equipment.storage" }),
			f("stacks.slots.n", Key, nil), f("stacks.slots.serial", Text, nil),
			f("equipment.storage.energy", Quantity, func(f *Field) { f.Unit = "kWh" }),
			f("stacks.energy", Quantity, func(f *Field) {
				f.Unit, f.Calculation = "kWh", &Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.count"}, {"E", "stacks.product.energy"}}}
			}),
			f("units.energy", Quantity, func(f *Field) {
				f.Unit, f.Calculation = "kWh", &Calculation{Sum: []Term{{"stacks.energy", "units.stacks"}}}
			}),
			f("rooms.energy", Quantity, func(f *Field) {
				f.Unit, f.Calculation = "kWh", &Calculation{Sum: []Term{{"units.energy", "units.room"}}}
			}),
			f("garages", Quantity, func(f *Field) {
				f.Unit, f.Calculation = "kWh", &Calculation{Sum: []Term{{"units.energy", ""}}, Where: []Test{{"room.kind", []string{"garage"}}}}
			}),
			f("units.stack_count", Count, func(f *Field) {
				f.Unit, f.Calculation = "stacks", &Calculation{Count: &Term{"stacks", "units.stacks"}}
			}),
		},
	}
}

func energy() quantity.Function {
	return quantity.Function{Name: "energy", Parameters: []quantity.Parameter{{Name: "n", Kind: quantity.Count}, {Name: "E", Kind: quantity.Energy}}, Result: quantity.Energy,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			steps.Value("n", in[0].Quantity, "counted")
			return quantity.Calculated(in[0].Quantity.Base()*in[1].Quantity.Base(), quantity.MustUnit("kWh"))
		}}
}

// products is equipment data with one product of 2.5 kWh.
type products struct{ scope *Scope }

func (p products) Registered(string, string) (*Instance, bool, error) { return nil, false, nil }

func (p products) Product(kind, name string) (*Instance, error) {
	switch name {
	case "x@1":
		in := &Instance{Scope: p.scope, Key: name, Values: make([]Value, p.scope.Slots())}
		*in.Get(p.scope.Leaves[0]) = Value{State: Known, Quantity: quantity.MustOf("2.5 kWh", "kWh")}
		return in, nil
	case "x":
		return nil, &Unpinned{"x"}
	}
	return nil, fmt.Errorf("no product %q", name)
}

func decode(t *testing.T, text string) (*Compiled, *Facts) {
	t.Helper()
	c, err := Compile(small(), []quantity.Function{energy()})
	require.NoError(t, err)
	f, problems := jobfile.Read("a.yaml", []byte(text), jobfile.Limits{})
	require.Empty(t, problems)
	return c, NewDecoder(c, products{c.Scope("equipment.storage")}, quantity.Options{}).Decode(f)
}

func TestDecodeEverything(t *testing.T) {
	c, facts := decode(t, `job: 7
stage: installed
dates: {installed: 2026-01-20}
rooms: [{id: g, kind: garage}, {id: c, kind: cellar}]
units: [{id: U, room: g, stacks: [A, B]}, {id: V, room: g, stacks: [C]}]
stacks:
  - {id: A, count: 4, gap: {wall: {planned: 20 mm, built: 1 in}}, marked: yes, product: x@1, slots: [{n: 1, serial: s1}]}
  - {id: B, count: 2, gap: {wall: 20 mm}, product: x@1}
  - {id: C, count: 2, product: x@1}
`)
	assert.Empty(t, facts.Problems)
	a, b := facts.Entries[c.Scope("stacks").ID][0], facts.Entries[c.Scope("stacks").ID][1]
	wall := c.Leaf("stacks.gap.wall")
	assert.Equal(t, "1 in", a.Get(wall).Written)
	assert.Equal(t, "20 mm", a.PlannedValue(wall).Written)
	assert.Nil(t, a.PlanOnly(wall))
	assert.Equal(t, Absent, b.Get(wall).State, "a plan is no reading")
	assert.Equal(t, "20 mm", b.PlanOnly(wall).Written)
	assert.True(t, a.Get(c.Leaf("stacks.marked")).Truth)
	assert.Equal(t, "stacks[A].gap.wall", a.AddressOf(wall))
	slot := facts.Entries[c.Scope("stacks.slots").ID][0]
	assert.Equal(t, "stacks[A].slots[1].serial", slot.AddressOf(c.Leaf("stacks.slots.serial")))
	day, ok := facts.Date(AtInstallation)
	assert.True(t, ok)
	assert.Equal(t, "2026-01-20", day.String())

	unit := facts.Entries[c.Scope("units").ID][0]
	assert.InDelta(t, 15, unit.Get(c.Leaf("units.energy")).Quantity.In(quantity.MustUnit("kWh")), 1e-12)
	assert.EqualValues(t, 2, unit.Get(c.Leaf("units.stack_count")).Quantity.Base())
	room := facts.Entries[c.Scope("rooms").ID]
	assert.InDelta(t, 20, room[0].Get(c.Leaf("rooms.energy")).Quantity.In(quantity.MustUnit("kWh")), 1e-12)
	assert.Equal(t, Known, room[1].Get(c.Leaf("rooms.energy")).State, "a room without units holds nothing, and that is known")
	assert.EqualValues(t, 0, room[1].Get(c.Leaf("rooms.energy")).Quantity.Base())
	assert.InDelta(t, 20, facts.Root.Get(c.Leaf("garages")).Quantity.In(quantity.MustUnit("kWh")), 1e-12)

	w, err := c.Way("stacks.unit.room.kind")
	require.NoError(t, err)
	v, of, _, broken := w.Value(a)
	assert.False(t, broken)
	assert.Equal(t, "garage", v.Text)
	assert.Equal(t, "g", of.Key)
}

// One part that is not known leaves a sum unknown, and says which.
func TestSumsOverUnknownParts(t *testing.T) {
	for name, c := range map[string]struct{ stacks, lack string }{
		"count absent":       {"{id: A, product: x@1}", "stacks[A].count"},
		"product absent":     {"{id: A, count: 3}", "stacks[A].product"},
		"product unpinned":   {"{id: A, count: 3, product: x}", "stacks[A].product"},
		"product unknown":    {"{id: A, count: 3, product: y@1}", "stacks[A].product"},
		"count not readable": {"{id: A, count: three, product: x@1}", "stacks[A].count"},
	} {
		t.Run(name, func(t *testing.T) {
			c2, facts := decode(t, "stage: designed\nrooms: [{id: g, kind: garage}]\nunits: [{id: U, room: g, stacks: [A]}]\nstacks: ["+c.stacks+"]\n")
			for path, in := range map[string]*Instance{"units.energy": facts.Entries[c2.Scope("units").ID][0], "rooms.energy": facts.Entries[c2.Scope("rooms").ID][0], "garages": facts.Root} {
				v := in.Get(c2.Leaf(path))
				require.Equal(t, Uncalculated, v.State, path)
				require.Len(t, v.More.Lacks, 1, path)
				assert.Equal(t, c.lack, v.More.Lacks[0].Of.AddressOf(v.More.Lacks[0].Leaf), path)
			}
		})
	}
}

// A unit whose room is not known may stand in any of them.
func TestSumWithAnUnknownPlace(t *testing.T) {
	c, facts := decode(t, "stage: designed\nrooms: [{id: g, kind: garage}]\nunits: [{id: U, stacks: [A]}]\nstacks: [{id: A, count: 1, product: x@1}]\n")
	v := facts.Entries[c.Scope("rooms").ID][0].Get(c.Leaf("rooms.energy"))
	require.Equal(t, Uncalculated, v.State)
	assert.Equal(t, "units[U].room", v.More.Lacks[0].Of.AddressOf(v.More.Lacks[0].Leaf))
}

// Every mistake has its place, a sentence and what to do; the rest is read.
func TestDecodeProblems(t *testing.T) {
	for name, c := range map[string]struct {
		text, code, says string
		line, column     int
	}{
		"unknown field":        {"stacks: [{id: A, cuont: 3}]", "unknown-field", `did you mean "count"`, 1, 18},
		"unknown block":        {"stakcs: []", "unknown-field", `did you mean "stacks"`, 1, 1},
		"wrong word":           {"rooms: [{id: a, kind: garrage}]", "unreadable-value", `did you mean "garage"`, 1, 23},
		"no unit":              {"stacks: [{id: A, gap: {wall: 20}}]", "unreadable-value", "wall takes a length in mm", 1, 30},
		"wrong dimension":      {"stacks: [{id: A, gap: {wall: 20 kg}}]", "unreadable-value", "wall takes a length in mm", 1, 30},
		"list for a number":    {"stacks: [{id: A, gap: {wall: [1 mm]}}]", "unreadable-value", "not a list", 1, 30},
		"word for a count":     {"stacks: [{id: A, count: six}]", "unreadable-value", "whole number", 1, 25},
		"fraction for a count": {"stacks: [{id: A, count: 2.5}]", "unreadable-value", "whole number", 1, 25},
		"not true or false":    {"stacks: [{id: A, marked: maybe}]", "unreadable-value", "true or false", 1, 26},
		"no date":              {"dates: {installed: 2026-02-30}", "unreadable-value", "takes a date", 1, 20},
		"no list":              {"stacks: A", "not-a-list", "is a list", 1, 9},
		"no entry":             {"stacks: [A]", "not-an-entry", "beginning with id", 1, 10},
		"no key":               {"stacks: [{count: 3}]", "no-key", "has no id", 1, 10},
		"key taken":            {"stacks: [{id: A}, {id: A}]", "key-taken", "taken by the entry in line 1", 1, 24},
		"no block":             {"dates: soon", "not-a-block", "parts of its own", 1, 8},
		"neither":              {"stacks: [{id: A, gap: {wall: {as_built: 3 mm}}}]", "unknown-field", "neither planned nor built", 1, 31},
		"no such entry":        {"rooms: [{id: a}]\nunits: [{id: U, room: b}]", "no-such-entry", `no "b" among the rooms`, 2, 23},
		"listed twice":         {"units: [{id: U, stacks: [A]}, {id: V, stacks: [A]}]\nstacks: [{id: A}]", "listed-twice", "already listed by units[U]", 1, 48},
		"bracket in a key":     {"stacks: [{id: 'A[1]'}]", "unreadable-value", "brackets", 1, 15},
		"one for many":         {"units: [{id: U, stacks: A}]\nstacks: [{id: A}]", "unreadable-value", "takes a list", 1, 25},
		"product without data": {"stacks: [{id: A, product: y@1}]", "no-equipment-data", `no product "y@1"`, 1, 27},
	} {
		t.Run(name, func(t *testing.T) {
			_, facts := decode(t, c.text+"\njob: 7\n")
			require.NotEmpty(t, facts.Problems)
			p := facts.Problems[0]
			assert.Equal(t, c.code, p.Code)
			assert.Contains(t, p.Message, c.says)
			assert.NotEmpty(t, p.Mend)
			assert.Equal(t, jobfile.Position{Line: c.line, Column: c.column}, p.Pos)
			assert.Equal(t, "7", facts.Root.Values[0].Text, "the rest is read")
		})
	}
}

// A decoder used again remembers nothing of the job before.
func TestDecoderForgets(t *testing.T) {
	c, err := Compile(small(), []quantity.Function{energy()})
	require.NoError(t, err)
	d := NewDecoder(c, products{c.Scope("equipment.storage")}, quantity.Options{})
	read := func(text string) *Facts {
		f, problems := jobfile.Read("a.yaml", []byte(text), jobfile.Limits{})
		require.Empty(t, problems)
		return d.Decode(f)
	}
	read("job: 1\ndates: {installed: 2026-01-01}\nunits: [{id: U, stacks: [A]}]\nstacks: [{id: A, count: three, slots: [{n: 1}]}]\n")
	facts := read("job: 2\nstage: surveyed\nstacks: [{id: A}, {id: B}]\n")
	assert.Empty(t, facts.Problems)
	assert.Empty(t, facts.Entries[c.Scope("stacks.slots").ID])
	for _, in := range facts.Entries[c.Scope("stacks").ID] {
		assert.Equal(t, Absent, in.Get(c.Leaf("stacks.count")).State)
		assert.Nil(t, in.Backs[0])
	}
	_, dated := facts.Date(AtInstallation)
	assert.False(t, dated)
}

// Mistakes in a shape are found when it is compiled.
func TestCompileRefuses(t *testing.T) {
	add := func(f Field) *Shape {
		s := small()
		f.Label, f.Meaning = Labels{"en": "x"}, "x"
		s.Fields = append(s.Fields, f)
		return s
	}
	calc := func(path, unit string, c Calculation) *Shape {
		return add(Field{Path: path, Type: Quantity, Unit: unit, Calculation: &c})
	}
	for name, c := range map[string]struct {
		shape *Shape
		says  string
	}{
		"field twice":          {add(Field{Path: "job", Type: Text}), "declared twice"},
		"field inside a field": {add(Field{Path: "job.x", Type: Text}), "collides"},
		"way back taken":       {add(Field{Path: "rooms.to", Type: Link, Link: "stacks", Back: "count"}), "name of a field"},
		"no function":          {calc("stacks.x", "V", Calculation{Function: "enrgy"}), `did you mean "energy"`},
		"too few inputs":       {calc("stacks.x", "kWh", Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.count"}}}), "takes 2 inputs"},
		"result of other kind": {calc("stacks.x", "V", Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.count"}, {"E", "stacks.product.energy"}}}), "no unit of"},
		"input of other kind":  {calc("stacks.x", "kWh", Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.gap.wall"}, {"E", "stacks.product.energy"}}}), "takes a count there"},
		"input out of reach":   {calc("rooms.x", "kWh", Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.count"}, {"E", "stacks.product.energy"}}}), "cannot be reached"},
		"unknown input":        {calc("stacks.x", "kWh", Calculation{Function: "energy", Inputs: []Input{{"n", "stacks.cont"}, {"E", "stacks.product.energy"}}}), `did you mean "stacks.count"`},
		"sum without link":     {calc("units.x", "kWh", Calculation{Sum: []Term{{"stacks.energy", ""}}}), "needs the link"},
		"sum of other kind":    {calc("units.x", "kWh", Calculation{Sum: []Term{{"stacks.gap.wall", "units.stacks"}}}), "cannot go into units.x"},
		"sum over no link":     {calc("units.x", "kWh", Calculation{Sum: []Term{{"stacks.energy", "stacks.count"}}}), "is no link"},
		"where never true":     {calc("x", "kWh", Calculation{Sum: []Term{{"units.energy", ""}}, Where: []Test{{"room.kind", []string{"attic"}}}}), `never "attic"`},
		"circle":               {calc("stacks.x", "kWh", Calculation{Sum: []Term{{"stacks.x", ""}}}), "needs the link"},
		"nothing":              {calc("stacks.x", "kWh", Calculation{}), "neither a function"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Compile(c.shape, []quantity.Function{energy()})
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

func TestWaysThatLeadNowhere(t *testing.T) {
	c, err := Compile(small(), []quantity.Function{energy()})
	require.NoError(t, err)
	for path, says := range map[string]string{
		"stacks.cuont":            `did you mean "stacks.count"`,
		"units.stacks.count":      "names several entries",
		"stacks.unit.room.colour": "no fact",
		"nothing":                 "no fact",
		"":                        "no fact",
		"stacks.product.wattage":  "no fact",
	} {
		_, err := c.Way(path)
		require.Error(t, err, path)
		assert.Contains(t, err.Error(), says, path)
	}
}
