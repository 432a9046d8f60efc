package conductor

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// How a conductor is laid, in the words of the tables of k.
const (
	inCable  = "core in cable or bunched"
	apart    = "separate, not bunched"
	naked    = "bare, no risk of damage"
	bare     = "none" // kind of insulation, as a job names it
	validity = "iec/60364-5-54/adiabatic"
)

// installation tells how a protective conductor is laid. The figure 143 stands
// twice in the tables, for a core of XLPE in a cable and for PVC laid apart; it is
// the way of laying that is asked, never the number. A conductor is apart only where
// both are recorded: no core of the cable, and not bunched.
func installation(kind, sameCable, lies quantity.Argument, steps *quantity.Steps) string {
	switch {
	case kind.Word == bare:
		return naked
	case sameCable.Word == quantity.No && lies.Word == alone:
		return apart
	case sameCable.Word != quantity.Yes && !lies.Known:
		steps.Note("not known to lie apart from other cables: as a core in a cable, whose k is the smaller one")
	}
	return inCable
}

// factorK looks k up, in A·√s/mm² as a bare number.
func factorK(t *table.Set, in []quantity.Argument, installed string, steps *quantity.Steps) (quantity.Quantity, error) {
	insulation, err := insulationOfK(in, steps)
	if err != nil {
		return quantity.Quantity{}, err
	}
	// k depends on the section, whatever system its size is of.
	section, err := quantity.Calculated(in[aSize].Quantity.Base(), quantity.MustUnit("mm²"))
	if err != nil {
		return quantity.Quantity{}, err
	}
	keys := []table.Key{table.Word(installed), table.Word(insulation), table.Word(in[aMaterial].Word), table.Quantity(section)}
	k, err := upTo(t, "iec/60364-5-54/k", "k", "k", steps, keys...)
	// What the one table has no row or no figure for may stand in the recalled one;
	// any other error would come again or would be hidden by it.
	var none *table.Error
	if errors.As(err, &none) && (none.Reason == table.NoRow || none.Reason == table.NoFigure || none.Reason == table.Beyond) {
		k, err = upTo(t, "iec/60364-5-54/k-from-memory", "k", "k", steps, keys...)
	}
	if err == nil && !(k.Base() > 0) {
		err = fmt.Errorf("k of %s is none", written(k))
	}
	return k, err
}

// insulationOfK gives the insulation in the words of the tables of k, "XLPE 90 °C".
// A temperature that the kind of insulation does not have is in no table, and the
// lookup says so.
func insulationOfK(in []quantity.Argument, steps *quantity.Steps) (string, error) {
	kind, rated := in[aType].Word, in[aInsulation]
	switch {
	case kind == bare:
		steps.Note("bare: the lowest k, that of a place with a risk of fire, since nothing tells the place")
		return "fire risk", nil
	case kind == "EPR":
		kind = "XLPE" // the tables have one row for both
	case kind == "flexible rubber":
		kind = "rubber"
	}
	if !rated.Known {
		return "", &quantity.Absent{Input: aInsulation}
	}
	return kind + " " + rated.Quantity.Format(quantity.MustUnit("°C")), nil
}
