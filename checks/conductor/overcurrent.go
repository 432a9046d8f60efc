package conductor

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

const (
	nextSizeTable       = "us/nec-2023/240.4-next-size"
	smallConductorTable = "us/nec-2023/240.4-small-conductors"
)

// DeviceMostNEC2023 is the largest standard rating of the device that may protect
// a conductor by 240.4 of the 2023 edition; DeviceMostNEC2020 the same with the
// standard ratings up to the 2020 edition, in which 10 A is no rating of a breaker.
//
// It is the next standard rating at or above the ampacity, up to 800 A (240.4(B));
// the largest at or below it where that would be above 800 A (240.4(C)) and where
// the circuit feeds several socket outlets; and for the sizes of 240.4(D) never
// more than stands there.
//
// Inputs: ampacity; kind of device; what the conductor carries; whether it feeds
// several socket outlets (optional: needed where it matters, and never on direct
// current); size and material. Result in A. A device that is neither fuse nor
// breaker is an error.
func DeviceMostNEC2023(t *table.Set) quantity.Function {
	return deviceMost(t, "conductor.DeviceMostNEC2023", "us/nec-2023/240.6")
}

// DeviceMostNEC2020 is DeviceMostNEC2023 by the 2017 and 2020 editions.
func DeviceMostNEC2020(t *table.Set) quantity.Function {
	return deviceMost(t, "conductor.DeviceMostNEC2020", "us/nec-2020/240.6")
}

func deviceMost(t *table.Set, name, ratings string) quantity.Function {
	const ampacity, kind, carries, outlets, size, material = 0, 1, 2, 3, 4, 5
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "ampacity", Kind: quantity.Current},
			{Name: "kind of device", Kind: quantity.None},
			{Name: "what it carries", Kind: quantity.None},
			{Name: "feeds several socket outlets", Kind: quantity.None, Optional: true},
			{Name: "size", Kind: quantity.Area},
			{Name: "material", Kind: quantity.None},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			below, above, err := around240(t, ratings, in[ampacity].Quantity, in[kind].Word, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			ceiling, err := smallConductor(t, in[material].Word, in[size].Quantity, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			below, above = lower(below, ceiling), lower(above, ceiling)
			switch {
			case !below.IsZero() && quantity.Compare(below, above) == 0:
			case in[carries].Word == "dc":
				steps.Note("direct current feeds no receptacles of a branch circuit: the next standard rating is allowed")
			case !in[outlets].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: outlets}
			case in[outlets].Word == quantity.Yes && below.IsZero():
				return quantity.Quantity{}, fmt.Errorf("no standard rating is as small as the ampacity of %s, and a circuit of several socket outlets allows no larger one", in[ampacity].Quantity.Format(quantity.MustUnit("A")))
			case in[outlets].Word == quantity.Yes:
				steps.Note("no larger rating than the ampacity, since it feeds several socket outlets (240.4(B)(1))")
				return below, nil
			}
			return above, nil
		},
	}
}

// around240 gives the standard ratings below and above an ampacity, equal where
// the ampacity is one itself or the one above is larger than 240.4(B) allows.
// Below is zero where no rating is that small.
func around240(t *table.Set, ratings string, ampacity quantity.Quantity, kind string, steps *quantity.Steps) (below, above quantity.Quantity, err error) {
	figures, word, err := standardRatings(t, ratings, kind)
	if err != nil {
		return below, above, err
	}
	if err := positive("ampacity", ampacity); err != nil {
		return below, above, err
	}
	rule, err := t.Get(nextSizeTable)
	if err != nil {
		return below, above, err
	}
	most, err := rule.At("rating", table.Word("next size up to"))
	if err != nil {
		return below, above, err
	}
	key := table.Quantity(ampacity)
	below, _ = figures.PrecedingOf("device", word, key)
	above, err = figures.NextOf("device", word, key)
	if err == nil && quantity.Compare(above, most) > 0 || err != nil && !below.IsZero() {
		above, err = below, nil
		if steps.Wanted() {
			steps.Note("no larger rating than the ampacity, since the next one is above " + most.Format(most.Unit()) + " (240.4(B), (C))")
		}
	}
	if err == nil && steps.Wanted() {
		steps.Value("I_standard", above, figures.Cite()+", for a "+word)
	}
	return below, above, err
}

// standardRatings gives the table of standard ratings and its word for a device.
func standardRatings(t *table.Set, name, kind string) (*table.Figures, string, error) {
	figures, err := t.Get(name)
	if err != nil {
		return nil, "", err
	}
	switch kind {
	case "fuse":
		return figures, "fuse", nil
	case "circuit-breaker":
		return figures, "breaker", nil
	}
	return nil, "", fmt.Errorf("a %s does not protect a conductor from overcurrent by itself: name the fuse or circuit-breaker", kind)
}

// smallConductor is the ceiling of 240.4(D); zero for a size that has none, which
// is any above those of its table, since thinner ones have no ampacity.
func smallConductor(t *table.Set, material string, size quantity.Quantity, steps *quantity.Steps) (quantity.Quantity, error) {
	figures, err := t.Get(smallConductorTable)
	if err != nil {
		return quantity.Quantity{}, err
	}
	ceiling, err := figures.At(material, table.Quantity(size))
	var none *table.Error
	switch {
	case errors.As(err, &none) && (none.Reason == table.Beyond || none.Reason == table.NoRow):
		return quantity.Quantity{}, nil
	case err == nil && steps.Wanted():
		steps.Value("I_small", ceiling, figures.Cite()+", "+size.Format(size.Unit())+" "+material)
	}
	return ceiling, err
}

// lower gives the lower of two quantities, of which either may be none.
func lower(a, b quantity.Quantity) quantity.Quantity {
	if a.IsZero() || b.IsZero() || quantity.Compare(a, b) <= 0 {
		return a
	}
	return b
}

// StandardRatingNEC2023 is the smallest standard rating of 240.6(A) that is not
// below the rating of a device: equal to it where that is a standard one.
// StandardRatingNEC2020 takes the ratings up to the 2020 edition. The code allows
// other ratings as well (from memory), so that this is for advice.
//
// Inputs: rating; kind of device. Result in A. A device that is neither fuse nor
// breaker, and a rating above the table, are errors.
func StandardRatingNEC2023(t *table.Set) quantity.Function {
	return standardRating(t, "conductor.StandardRatingNEC2023", "us/nec-2023/240.6")
}

// StandardRatingNEC2020 is StandardRatingNEC2023 by the 2017 and 2020 editions.
func StandardRatingNEC2020(t *table.Set) quantity.Function {
	return standardRating(t, "conductor.StandardRatingNEC2020", "us/nec-2020/240.6")
}

func standardRating(t *table.Set, name, ratings string) quantity.Function {
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "rating", Kind: quantity.Current},
			{Name: "kind of device", Kind: quantity.None},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			figures, word, err := standardRatings(t, ratings, in[1].Word)
			if err != nil {
				return quantity.Quantity{}, err
			}
			if err := positive("rating", in[0].Quantity); err != nil {
				return quantity.Quantity{}, err
			}
			rating, err := figures.NextOf("device", word, table.Quantity(in[0].Quantity))
			if err == nil && steps.Wanted() {
				steps.Value("I_standard", rating, figures.Cite()+", for a "+word)
			}
			return rating, err
		},
	}
}
