package conductor

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The insulations of the tables of IEC 60364-5-52, by which its columns go.
const (
	pvc  = "PVC"
	xlpe = "XLPE"
)

// columnIEC tells the insulation whose column holds, and how hot a conductor
// may be in it. Kind and temperature must agree where both are recorded: one of
// them is wrong then, and the larger current may be the wrong one.
func columnIEC(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (string, quantity.Quantity, error) {
	kind, err := insulationIEC(t, in)
	if err != nil {
		return "", quantity.Quantity{}, err
	}
	hottest, err := figure(t, insulationIECTable, "temperature", "T_max", steps, table.Word(kind))
	if err != nil {
		return "", hottest, err
	}
	terminal := in[cTerminal]
	both := terminal.Known && in[cEnds].Quantity.Base() >= bothEnds
	if kind != pvc && (!both || quantity.Compare(terminal.Quantity, hottest) < 0) {
		kind = pvc
		if hottest, err = figure(t, insulationIECTable, "temperature", "T_max", steps, table.Word(pvc)); err != nil {
			return "", hottest, err
		}
		steps.Note("as warm as its terminals take, in the column of PVC: not both of them are recorded to take more (523.1)")
	}
	if terminal.Known && quantity.Compare(terminal.Quantity, hottest) < 0 {
		return "", hottest, fmt.Errorf("the terminals take %s, and no column is held for a conductor that cool", written(terminal.Quantity))
	}
	return kind, hottest, nil
}

// insulationIEC is PVC or XLPE; EPR has the figures of XLPE.
func insulationIEC(t *table.Set, in []quantity.Argument) (string, error) {
	kind, rated := in[cType].Word, in[cInsulation]
	switch {
	case !in[cType].Known && !rated.Known:
		return "", &quantity.Absent{Input: cInsulation}
	case !in[cType].Known:
		return insulationAt(t, rated.Quantity)
	case kind == "EPR":
		kind = xlpe
	case kind != pvc && kind != xlpe:
		return "", fmt.Errorf("the tables of IEC 60364-5-52 have PVC, XLPE and EPR, not %s", kind)
	}
	if !rated.Known {
		return kind, nil
	}
	of, err := insulationAt(t, rated.Quantity)
	if err != nil {
		return "", err
	}
	if of != kind {
		return "", fmt.Errorf("the insulation is %s and rated for %s, which contradict each other in the tables of IEC 60364-5-52: one of the two is wrong, or it is a kind that they do not have", in[cType].Word, written(rated.Quantity))
	}
	return kind, nil
}

// insulationAt is the insulation with this temperature.
func insulationAt(t *table.Set, rated quantity.Quantity) (string, error) {
	for _, kind := range []string{pvc, xlpe} {
		hottest, err := figure(t, insulationIECTable, "temperature", "", nil, table.Word(kind))
		switch {
		case err != nil:
			return "", err
		case quantity.Compare(hottest, rated) == 0:
			return kind, nil
		}
	}
	return "", errors.New("the tables of IEC 60364-5-52 have no insulation rated for " + written(rated))
}
