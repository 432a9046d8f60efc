package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// exemptAboveRoof is the insulation to which nothing is added in the sun above a
// roof, 310.15(B)(2).
const exemptAboveRoof = "XHHW-2"

// around is what is known of the air around a conductor. The height is zero where
// none is recorded.
type around struct {
	ambient, height quantity.Quantity
	insulationType  string
	roof            string // the table of what is added above a roof
}

// air gives the ambient that the correction is taken for: the recorded one at the
// upper edge of its uncertainty, raised above a roof in the sun. That a conductor
// without a recorded height is not above a roof is an assumption, which is said.
func (a around) air(t *table.Set, steps *quantity.Steps) (quantity.Quantity, error) {
	air := edge(a.ambient, +1)
	if a.height.IsZero() {
		steps.Note("not in the sun above a roof, since no height above one is recorded")
		return air, nil
	}
	if a.insulationType == exemptAboveRoof {
		steps.Note("nothing is added above the roof: type " + exemptAboveRoof + " is exempt (310.15(B)(2))")
		return air, nil
	}
	figures, err := t.Get(a.roof)
	if err != nil {
		return air, err
	}
	height := edge(a.height, -1)
	if height.Base() < 0 {
		return air, fmt.Errorf("the height above the roof is %s; it cannot be below zero", height.Format(height.Unit()))
	}
	added, err := figures.From("added", table.Quantity(height))
	if err != nil {
		return air, err
	}
	if steps.Wanted() {
		steps.Value("ΔT_roof", added, fmt.Sprintf("%s, %s above the roof", figures.Cite(), height.Format(height.Unit())))
	}
	return quantity.Calculated(air.Base()+added.Base(), a.ambient.Unit())
}

// edge gives the upper (+1) or lower (-1) edge of a quantity's uncertainty.
func edge(q quantity.Quantity, side float64) quantity.Quantity {
	if !q.HasUncertainty() {
		return q
	}
	moved, err := quantity.Calculated(q.Base()+side*q.BaseUncertainty(), q.Unit())
	if err != nil {
		return q // only an edge below absolute zero
	}
	return moved
}

// temperatureFactor is F_temp of Table 310.15(B)(1)(1), the row of the band that
// the ambient lies in; the equation of 310.15(B)(1), which gives a little more
// inside a band, is not used. An ambient at or above the insulation's own
// temperature, and one for which the table has no figure, are errors.
func temperatureFactor(t *table.Set, air, insulation quantity.Quantity, steps *quantity.Steps) (float64, error) {
	figures, err := t.Get(ambientTable)
	if err != nil {
		return 0, err
	}
	if quantity.Compare(air, insulation) >= 0 {
		return 0, fmt.Errorf("the air around the conductor is %s and its insulation is rated %s: it may carry nothing", celsius(air), celsius(insulation))
	}
	key := table.Quantity(air)
	band, err := figures.Next(key)
	if err != nil {
		return 0, fmt.Errorf("no correction for the air around the conductor: %w", err)
	}
	factor, err := figures.UpTo(columnName(insulation), key)
	if err != nil {
		return 0, fmt.Errorf("%s allows no conductor of %s insulation in air of %s", figures.Cite(), celsius(insulation), celsius(air))
	}
	if steps.Wanted() {
		steps.Value("F_temp", factor, fmt.Sprintf("%s, row up to %s, column %s", figures.Cite(), celsius(band), celsius(insulation)))
	}
	return factor.Base(), nil
}

// countFactor is F_count of Table 310.15(C)(1) for conductors that carry current
// together. That raceways up to 600 mm long are exempt is not used: it asks for
// more than a length.
func countFactor(t *table.Set, together quantity.Quantity, steps *quantity.Steps) (float64, error) {
	figures, err := t.Get(countTable)
	if err != nil {
		return 0, err
	}
	if _, err := whole("current-carrying conductors", together); err != nil {
		return 0, err
	}
	factor, err := figures.From("factor", table.Quantity(together))
	if err != nil {
		return 0, err
	}
	if steps.Wanted() {
		steps.Value("F_count", factor, fmt.Sprintf("%s, %s current-carrying conductors", figures.Cite(), together.Format(quantity.MustUnit("count"))))
	}
	return factor.Base(), nil
}

// parallelConductors gives how many conductors share the current of one pole. One
// where nothing is recorded, which never flatters. Thinner than 310.10(G)(1)
// allows in parallel is an error: they would not share it evenly.
func parallelConductors(t *table.Set, in quantity.Argument, size quantity.Quantity, steps *quantity.Steps) (float64, error) {
	if !in.Known {
		steps.Note("one conductor for each pole, since nothing else is recorded")
		return 1, nil
	}
	n, err := whole("conductors in parallel", in.Quantity)
	if err != nil || n == 1 {
		return n, err
	}
	figures, err := t.Get(parallelTable)
	if err != nil {
		return 0, err
	}
	least, err := figures.From("size", table.Quantity(in.Quantity))
	switch {
	case err != nil:
		return 0, err
	case quantity.Compare(size, least) < 0:
		return 0, fmt.Errorf("%s is too thin for conductors in parallel, which are %s or larger (%s): they have no ampacity together", size.Format(size.Unit()), least.Format(least.Unit()), figures.Cite())
	}
	steps.Value("n", in.Quantity, "conductors in parallel, recorded")
	return n, nil
}
