package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

const (
	areasTable     = "us/nec-2023/ch9-table8"
	electrodeTable = "us/nec-2023/250.166"
)

// EquipmentGroundingNEC2023 is the smallest size of an equipment grounding
// conductor: that of Table 250.122 for the rating of the device, enlarged in
// proportion where the circuit conductors are larger than their current asks for
// (250.122(B)), and never larger than these (250.122(A)):
//
//	cmil ≥ cmil_table · cmil_laid / cmil_needed
//
// in the circular mils of Chapter 9, Table 8, as the next size of that table. That
// a qualified person may size it otherwise (2020 and later) is a matter for a
// concession. EquipmentGroundingNEC2017 takes the 2017 print of Table 250.122.
//
// Inputs: material of the grounding conductor; rating of the device; size of the
// circuit conductors as laid; the size their current asks for (optional, but needed
// unless the table by itself reaches the circuit conductors, and taken on trust; one
// larger than what is laid is an error); their material
// (optional); how many are in parallel (optional). Result as a size. Circuits in
// parallel runs, copper-clad aluminium and metric sizes are errors.
func EquipmentGroundingNEC2023(t *table.Set) quantity.Function {
	return equipmentGrounding(t, "conductor.EquipmentGroundingNEC2023", "us/nec-2023/250.122")
}

// EquipmentGroundingNEC2017 is EquipmentGroundingNEC2023 by the 2017 edition.
func EquipmentGroundingNEC2017(t *table.Set) quantity.Function {
	return equipmentGrounding(t, "conductor.EquipmentGroundingNEC2017", "us/nec-2017/250.122")
}

func equipmentGrounding(t *table.Set, name, sizes string) quantity.Function {
	const material, rating, laid, needed, circuit, parallel = 0, 1, 2, 3, 4, 5
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "material", Kind: quantity.None},
			{Name: "rating of the device", Kind: quantity.Current},
			{Name: "size of the circuit conductors", Kind: quantity.Area},
			{Name: "size the current asks for", Kind: quantity.Area, Optional: true},
			{Name: "material of the circuit conductors", Kind: quantity.None, Optional: true},
			{Name: "circuit conductors in parallel", Kind: quantity.Count, Optional: true},
		},
		Result: quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if n := in[parallel]; n.Known && n.Quantity.Base() > 1 {
				return quantity.Quantity{}, fmt.Errorf("the circuit has %s conductors in parallel, and 250.122(F) sizes its grounding conductors by how the runs are laid: this is not calculated", n.Quantity.Format(quantity.MustUnit("count")))
			}
			byTable, err := groundingByDevice(t, sizes, in[material].Word, in[rating].Quantity, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			if err := wireSize("circuit conductor", in[laid].Quantity); err != nil {
				return quantity.Quantity{}, err
			}
			// 250.122(A) compares sizes of one material.
			capped := in[circuit].Known && in[circuit].Word == in[material].Word
			if capped && quantity.Compare(byTable, in[laid].Quantity) >= 0 {
				steps.Note("not larger than the circuit conductors (250.122(A))")
				return in[laid].Quantity, nil
			}
			if err := quantity.Need(in, needed); err != nil {
				return quantity.Quantity{}, err
			}
			noteSmaller(t, in[circuit].Word, in[rating].Quantity, in[needed].Quantity, steps)
			area, err := inProportion(byTable, in[laid].Quantity, in[needed].Quantity, steps)
			switch {
			case err != nil:
				return quantity.Quantity{}, err
			case area.IsZero():
				return byTable, nil
			case capped && quantity.Compare(area, in[laid].Quantity) > 0:
				steps.Note("not larger than the circuit conductors (250.122(A))")
				return in[laid].Quantity, nil
			}
			return sizeWith(t, area, steps)
		},
	}
}

// groundingByDevice looks Table 250.122 up.
func groundingByDevice(t *table.Set, name, material string, rating quantity.Quantity, steps *quantity.Steps) (quantity.Quantity, error) {
	figures, err := t.Get(name)
	if err != nil {
		return quantity.Quantity{}, err
	}
	if err := positive("rating of the device", rating); err != nil {
		return quantity.Quantity{}, err
	}
	if material == CopperCladAluminium {
		return quantity.Quantity{}, fmt.Errorf("%s, as it was read, gives copper and aluminium; copper-clad aluminium has no figure here", figures.Cite())
	}
	size, err := figures.UpTo(material, table.Quantity(rating))
	if err == nil && steps.Wanted() {
		steps.Value("S_table", size, fmt.Sprintf("%s, device of %s, %s", figures.Cite(), rating.Format(rating.Unit()), material))
	}
	return size, err
}

// noteSmaller says where a recorded size that the current asks for is larger than
// the one that carries the rating of the device by the lowest column, before
// correction: heat, neighbours or a harsher rule may ask for it, or the record hides
// that the conductors were enlarged.
func noteSmaller(t *table.Set, material string, rating, needed quantity.Quantity, steps *quantity.Steps) {
	if !steps.Wanted() || material == "" {
		return
	}
	figures, err := t.Get(ampacityTable)
	if err != nil {
		return
	}
	enough, err := figures.Smallest(material+" 60", rating)
	if err == nil && quantity.Compare(enough, needed) < 0 {
		steps.Note(fmt.Sprintf("%s would carry the rating of the device by %s, 60 °C, before correction: that the current asks for %s is to be shown", enough.Format(enough.Unit()), figures.Cite(), needed.Format(needed.Unit())))
	}
}

// inProportion is the area of a grounding conductor that is enlarged as its circuit
// conductors were; none where these are as large as needed. What is needed is taken
// on trust, and more than what is laid is an error.
func inProportion(byTable, laid, needed quantity.Quantity, steps *quantity.Steps) (quantity.Quantity, error) {
	if err := wireSize("size the current asks for", needed); err != nil {
		return quantity.Quantity{}, err
	}
	switch quantity.Compare(needed, laid) {
	case 1:
		return quantity.Quantity{}, fmt.Errorf("the current is said to ask for %s, and %s is laid, which is smaller: one of the two is wrong", needed.Format(needed.Unit()), laid.Format(laid.Unit()))
	case 0:
		steps.Note("not enlarged (250.122(B)): that the current asks for the size that is laid is recorded and taken on trust")
		return quantity.Quantity{}, nil
	}
	steps.Note("the size that the current asks for is recorded and taken on trust")
	cmil := quantity.MustUnit("cmil")
	// The areas of wire sizes are those of the table, whole circular mils; multiplied
	// before they are divided, so that 8 to 4 AWG needs 26242 and not 26240 cmil.
	area, err := quantity.CalculatedIn(byTable.In(cmil)*laid.In(cmil)/needed.In(cmil), cmil)
	if err == nil && steps.Wanted() {
		steps.Value("cmil", area, fmt.Sprintf("250.122(B), in proportion from %s to %s", needed.Format(needed.Unit()), laid.Format(laid.Unit())))
	}
	return area, err
}

// sizeWith is the next size of Chapter 9, Table 8, that has an area.
func sizeWith(t *table.Set, area quantity.Quantity, steps *quantity.Steps) (quantity.Quantity, error) {
	figures, err := t.Get(areasTable)
	if err != nil {
		return quantity.Quantity{}, err
	}
	size, err := figures.Smallest("area", area, table.Word("stranded"))
	if err == nil && steps.Wanted() {
		steps.Value("S", size, figures.Cite()+", the next size with that area")
	}
	return size, err
}

// wireSize refuses metric sizes, and sizes that are none.
func wireSize(name string, size quantity.Quantity) error {
	if err := positive(name, size); err != nil {
		return err
	}
	if size.Unit().System() != quantity.US {
		return fmt.Errorf("%s: %s is a metric size and the tables of the NEC are in AWG and kcmil; no size is converted", name, size.Format(size.Unit()))
	}
	return nil
}

// ElectrodeConductorNEC is the smallest size of the grounding electrode conductor
// of a direct-current system, 250.166, which 250.169 takes for ungrounded ones: the
// largest conductor the system supplies, not below the floor and not above the
// ceiling that the sentences give, and no more than is enough as the sole
// connection to a rod, pipe or plate or to a concrete-encased electrode.
//
// Inputs: material; size of the largest conductor supplied; what the electrode is
// (optional; nothing is taken off where it is not known, or is a ring, whose own
// size would be the measure). Result as a size. Copper-clad aluminium and metric
// sizes are errors.
func ElectrodeConductorNEC(t *table.Set) quantity.Function {
	const material, supplied, electrode = 0, 1, 2
	return quantity.Function{
		Name: "conductor.ElectrodeConductorNEC",
		Parameters: []quantity.Parameter{
			{Name: "material", Kind: quantity.None},
			{Name: "largest conductor supplied", Kind: quantity.Area},
			{Name: "electrode", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			figures, err := t.Get(electrodeTable)
			if err != nil {
				return quantity.Quantity{}, err
			}
			if in[material].Word == CopperCladAluminium {
				return quantity.Quantity{}, fmt.Errorf("%s names copper and aluminium; copper-clad aluminium has no size there", figures.Cite())
			}
			size := in[supplied].Quantity
			if err := wireSize("largest conductor supplied", size); err != nil {
				return quantity.Quantity{}, err
			}
			floor, err := electrodeRule(figures, "not smaller than", in[material].Word, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			most, err := electrodeRule(figures, "largest asked for", in[material].Word, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			if quantity.Compare(size, floor) < 0 {
				size = floor
			}
			size = lower(size, most)
			if rule := soleConnection(in[electrode].Word); rule != "" {
				if enough, err := electrodeRule(figures, rule, in[material].Word, steps); err == nil {
					steps.Note("taken as the sole connection to the electrode, since the record has no other electrode")
					size = lower(size, enough)
				}
			}
			return size, nil
		},
	}
}

func electrodeRule(figures *table.Figures, rule, material string, steps *quantity.Steps) (quantity.Quantity, error) {
	size, err := figures.At(material, table.Word(rule))
	if err == nil && steps.Wanted() {
		steps.Value("S_rule", size, figures.Cite()+", "+rule)
	}
	return size, err
}

// soleConnection names the rule for what is enough at an electrode; none for
// others.
func soleConnection(electrode string) string {
	switch electrode {
	case "rod", "pipe", "plate":
		return "sole connection to a rod, pipe or plate"
	case "concrete-encased":
		return "sole connection to a concrete-encased electrode"
	}
	return ""
}
