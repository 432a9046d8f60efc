package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The tables of resistances.
const (
	metricResistance   = "iec/60228/resistance"
	metricTemperature  = "iec/60228/temperature"
	americanResistance = "us/nec-2023/ch9-table8"
	americanCorrection = "us/nec-2023/ch9-table8-note2"
)

// The strandings of a conductor, as a job names them.
const (
	solid        = "solid"
	stranded     = "stranded"
	fineStranded = "fine-stranded"
)

// The inputs of Resistance.
const (
	rSize = iota
	rMaterial
	rStrands
	rInsulation
	rDatasheet
	rDatasheetSize
)

// Resistance is the direct-current resistance of one conductor per length, at the
// temperature its insulation is rated for: the hottest it may be, deliberately
// careful where it carries less. The datasheet's own figure at 20 °C goes before
// tables; then NEC chapter 9 table 8 for AWG and kcmil, and the largest value of
// IEC 60228 for metric sizes. Corrected by R2 = R1·(1 + α·(T2 - 75 °C)), note 2 of
// that table, or R(T) = R20·(B + T)/(B + 20 °C), IEC 60228.
//
// Inputs: size; material; stranding, the larger resistance where it is not known;
// temperature rating of the insulation; the datasheet's resistance at 20 °C, and
// the size it is stated for. Result in Ω/km. A size, material or stranding that no
// table has gives an error.
func Resistance(t *table.Set) quantity.Function {
	return quantity.Function{
		Name: "conductor.Resistance",
		Parameters: []quantity.Parameter{
			{Name: "size", Kind: quantity.Area},
			{Name: "material", Kind: quantity.None},
			{Name: "stranding", Kind: quantity.None, Optional: true},
			{Name: "insulation temperature", Kind: quantity.Temperature},
			{Name: "datasheet's resistance", Kind: quantity.ResistancePerLength, Optional: true},
			{Name: "datasheet's size", Kind: quantity.Area, Optional: true},
		},
		Result: quantity.ResistancePerLength,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			r, err := resistance(t, in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Value("T2", in[rInsulation].Quantity, "the hottest the insulation allows")
			return quantity.Calculated(r, quantity.MustUnit("Ω/km"))
		},
	}
}

func resistance(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	switch {
	case in[rDatasheet].Known:
		if err := sameSize(in); err != nil {
			return 0, err
		}
		r20, err := aboveZero("resistance", in[rDatasheet])
		if err != nil {
			return 0, err
		}
		steps.Value("R20", in[rDatasheet].Quantity, "the datasheet, at 20 °C")
		factor, err := fromTwenty(t, in, steps)
		return r20 * factor, err
	case isAmerican(in[rSize].Quantity):
		r75, err := american(t, in, steps)
		if err != nil {
			return 0, err
		}
		factor, err := fromSeventyFive(t, in, steps)
		return r75 * factor, err
	}
	r20, err := metric(t, in, steps)
	if err != nil {
		return 0, err
	}
	factor, err := fromTwenty(t, in, steps)
	return r20 * factor, err
}

// sameSize refuses the datasheet of another size: its resistance may be smaller.
func sameSize(in []quantity.Argument) error {
	of, has := in[rDatasheetSize], in[rSize].Quantity
	if of.Known && quantity.Compare(of.Quantity, has) != 0 {
		return fmt.Errorf("the datasheet's resistance is that of %s, and the conductor is of %s", written(of.Quantity), written(has))
	}
	return nil
}

// american looks up table 8, which has solid and stranded conductors. It is never
// the solid one by default: that is the smaller resistance.
func american(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	strands := in[rStrands].Word
	switch {
	case !in[rStrands].Known:
		strands = stranded
		steps.Note("stranding not recorded: stranded, which has the larger resistance")
	case strands == fineStranded:
		return 0, fmt.Errorf("chapter 9 table 8 has solid and stranded conductors, none that are fine-stranded: state the resistance in the datasheet of the conductor")
	}
	r, err := figure(t, americanResistance, in[rMaterial].Word, "R75", steps, table.Word(strands), table.Quantity(in[rSize].Quantity))
	return r.Base(), err
}

// metric looks up IEC 60228, which has classes 2 (stranded) and 5 (fine-stranded).
// Where the class is not known, and for solid conductors, whose class 1 has no row
// and never more resistance (from memory), it takes the larger of the two.
func metric(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	classes := []string{stranded, fineStranded}
	switch {
	case in[rMaterial].Word == Aluminium && in[rStrands].Word == fineStranded:
		return 0, fmt.Errorf("the tables of IEC 60228 have no fine-stranded aluminium: state the resistance in the datasheet of the conductor")
	case in[rMaterial].Word == Aluminium:
		classes = classes[:1]
	case !in[rStrands].Known:
		steps.Note("stranding not recorded: the larger of stranded and fine-stranded")
	case in[rStrands].Word == solid:
		steps.Note("solid: no row of its own; the larger of stranded and fine-stranded, which it does not exceed")
	default:
		classes = []string{in[rStrands].Word}
	}
	var largest float64
	for _, class := range classes {
		r, err := figure(t, metricResistance, in[rMaterial].Word+" "+class, "R20", steps, table.Quantity(in[rSize].Quantity))
		if err != nil {
			return 0, err
		}
		largest = max(largest, r.Base())
	}
	return largest, nil
}

// fromTwenty is the factor from 20 °C to the temperature of the insulation.
func fromTwenty(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	offset, err := figure(t, metricTemperature, "offset", "B", steps, table.Word(in[rMaterial].Word))
	if err != nil {
		return 0, err
	}
	reference, err := figure(t, metricTemperature, "reference", "T1", steps, table.Word(in[rMaterial].Word))
	if err != nil {
		return 0, err
	}
	rise := in[rInsulation].Quantity.Base() - reference.Base()
	return heated(1+rise/(offset.Base()+reference.In(quantity.MustUnit("°C"))), in, steps)
}

// fromSeventyFive is the factor from the temperature of table 8.
func fromSeventyFive(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	coefficient, err := figure(t, americanCorrection, "coefficient", "α", steps, table.Word(in[rMaterial].Word))
	if err != nil {
		return 0, err
	}
	reference, err := figure(t, americanCorrection, "reference", "T1", steps, table.Word(in[rMaterial].Word))
	if err != nil {
		return 0, err
	}
	return heated(1+coefficient.Base()*(in[rInsulation].Quantity.Base()-reference.Base()), in, steps)
}

// heated refuses a factor that no insulation leads to.
func heated(factor float64, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	if !(factor > 0) {
		return 0, fmt.Errorf("an insulation rated for %s leaves no resistance", written(in[rInsulation].Quantity))
	}
	steps.Base("F_T", factor, "ratio", "change of resistance with temperature")
	return factor, nil
}
