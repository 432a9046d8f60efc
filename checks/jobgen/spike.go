package jobgen

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Definitions is a set of definitions as plain data, as they ship with the tool.
type Definitions struct {
	Shape     fact.Shape
	RuleSets  []limit.RuleSet
	Functions []quantity.Function
}

// The size of the synthetic set.
const (
	SpikeLists  = 12
	SpikeFields = 300 // without calculated measures
	SpikeLimits = 300
	SpikeCalcs  = 60
)

// perList is how many fields each list has; the job itself has the rest.
const perList = 24

// The places of the fields of every list, by their number.
const (
	keyField   = 0
	linkField  = 1 // to the next list, with a way back
	wordField  = 2
	truthField = 3
	countField = 4
	firstSize  = 5  // from here on quantities: lengths
	firstForce = 15 // and energies
)

var spikeWords = []string{"oak", "ash", "elm", "larch"}

// Spike makes definitions several times as large as those that ship: fields,
// lists (two of them inside others), links from each list to the next, limits of
// every form, and calculated measures. It measures what growth costs; its words
// mean nothing.
func Spike() *Definitions {
	d := &Definitions{Functions: []quantity.Function{spikeProduct()}}
	d.Shape.Lists = append(d.Shape.Lists, lists()...)
	d.rootFields()
	for i := range SpikeLists {
		d.listFields(i)
	}
	for n := range SpikeCalcs {
		d.calculation(n)
	}
	for s := range 3 {
		set := limit.RuleSet{Source: limit.Source{Name: fmt.Sprintf("spike/%d", s), Title: "Spike", Edition: "1", Kind: limit.Code,
			Decision: limit.Simple, DecidedBy: "Nobody.", Always: true}}
		for n := s; n < SpikeLimits; n += 3 {
			set.Limits = append(set.Limits, spikeLimit(n))
		}
		d.RuleSets = append(d.RuleSets, set)
	}
	return d
}

// listName names a list: the last two stand inside the first two.
func listName(i int) string {
	if i >= SpikeLists-2 {
		return fmt.Sprintf("%s.inner%02d", listName(i-(SpikeLists-2)), i)
	}
	return fmt.Sprintf("list%02d", i)
}

func lists() []fact.List {
	var out []fact.List
	for i := range SpikeLists {
		l := fact.List{Name: listName(i), Key: "f00"}
		if i >= SpikeLists-2 {
			l.Parent = listName(i - (SpikeLists - 2))
		}
		out = append(out, l)
	}
	return out
}

func (d *Definitions) field(f fact.Field) {
	f.Label = fact.Labels{"en": f.Path}
	f.Due = fact.Due{At: fact.AtDesign}
	d.Shape.Fields = append(d.Shape.Fields, f)
}

func (d *Definitions) rootFields() {
	d.field(fact.Field{Path: "job", Type: fact.Text})
	d.field(fact.Field{Path: "stage", Type: fact.Word, Words: fact.StageNames(), Stage: true})
	for i := range SpikeFields - SpikeLists*perList - 2 {
		d.field(fact.Field{Path: fmt.Sprintf("site.w%02d", i), Type: fact.Word, Words: spikeWords})
	}
}

// fieldName is the path of a field of a list.
func fieldName(list, n int) string { return fmt.Sprintf("%s.f%02d", listName(list), n) }

func (d *Definitions) listFields(i int) {
	for n := range perList {
		f := fact.Field{Path: fieldName(i, n)}
		switch {
		case n == keyField:
			f.Type = fact.Key
		case n == linkField:
			f.Type, f.Link, f.Back = fact.Link, listName((i+1)%SpikeLists), fmt.Sprintf("from%02d", i)
		case n == wordField:
			f.Type, f.Words = fact.Word, spikeWords
		case n == truthField:
			f.Type = fact.Truth
		case n == countField:
			f.Type, f.Unit = fact.Count, "pieces"
		case n < firstForce:
			f.Type, f.Unit = fact.Quantity, "mm"
			if n%2 == 0 {
				f.Built = fact.Installed
			}
		default:
			f.Type, f.Unit = fact.Quantity, "kWh"
		}
		d.field(f)
	}
}

// spikeProduct is a calculation like those of the physics rooms.
func spikeProduct() quantity.Function {
	return quantity.Function{
		Name:       "spike.Product",
		Parameters: []quantity.Parameter{{Name: "pieces", Kind: quantity.Count}, {Name: "energy", Kind: quantity.Energy}},
		Result:     quantity.Energy,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			return quantity.Calculated(in[0].Quantity.Base()*in[1].Quantity.Base(), quantity.Energy.BaseUnit())
		},
	}
}

// calcName is the path of a calculated measure of a list.
func calcName(list, n int) string { return fmt.Sprintf("%s.c%d", listName(list), n) }

// calculation makes five measures for each list: two products, one along the
// link, and of the linking entries two sums and a count.
func (d *Definitions) calculation(n int) {
	list, form := n/5, n%5
	before := (list + SpikeLists - 1) % SpikeLists // its entries link here
	back := fieldName(before, linkField)
	f := fact.Field{Path: calcName(list, form), Type: fact.Quantity, Unit: "kWh", Label: fact.Labels{"en": "calculated"}}
	c := &fact.Calculation{Formula: "made up", Source: "made up"}
	product := func(energy string) {
		c.Function = "spike.Product"
		c.Inputs = []fact.Input{{Symbol: "n", Fact: fieldName(list, countField)}, {Symbol: "E", Fact: energy}}
	}
	switch form {
	case 0:
		product(fieldName(list, firstForce))
	case 1:
		product(fmt.Sprintf("%s.f%02d", fieldName(list, linkField), firstForce+1))
	case 2:
		c.Sum = []fact.Term{{Fact: fieldName(before, firstForce+2), Over: back}}
	case 3:
		c.Sum = []fact.Term{{Fact: calcName(before, 0), Over: back}}
	case 4:
		f.Type, f.Unit = fact.Count, "pieces"
		c.Count = &fact.Term{Fact: listName(before), Over: back}
	}
	f.Calculation = c
	d.Shape.Fields = append(d.Shape.Fields, f)
}
