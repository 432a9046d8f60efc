package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// What a run of cable carries, and the phases of a circuit, as a job names them.
const (
	direct      = "dc"
	alternating = "ac"
	singlePhase = "single-phase"
	splitPhase  = "split-phase"
	threePhase  = "three-phase"
)

// phases are the inputs that tell the phases of a run: where what it carries
// stands, and after it the run's own phases, those of the inverter it serves and
// those of the supply, all three optional.
type phases int

// parameters are the four inputs as a function declares them.
func (phases) parameters() []quantity.Parameter {
	return []quantity.Parameter{
		{Name: "what it carries", Kind: quantity.None},
		{Name: "phases of the run", Kind: quantity.None, Optional: true},
		{Name: "phases of the inverter", Kind: quantity.None, Optional: true},
		{Name: "phases of the supply", Kind: quantity.None, Optional: true},
	}
}

func (at phases) own() int { return int(at) + 1 }

// of tells the phases of a live run, or dc. What the run itself says goes before
// its inverter, and that before a single-phase supply. A supply with more phases
// does not tell how many of them one run has: then its own are needed.
func (at phases) of(in []quantity.Argument, steps *quantity.Steps) (string, error) {
	carries, own, inverter, supply := in[at], in[at+1], in[at+2], in[at+3]
	switch {
	case carries.Word == direct:
		return direct, nil
	case carries.Word != alternating:
		return "", fmt.Errorf("a conductor of %s carries no load", carries.Word)
	case own.Known:
		return own.Word, nil
	case inverter.Known:
		steps.Note("phases of the run: those of its inverter, " + inverter.Word)
		return inverter.Word, nil
	case supply.Known && supply.Word == singlePhase:
		steps.Note("phases of the run: single-phase, since the supply is")
		return singlePhase, nil
	}
	return "", &quantity.Absent{Input: at.own()}
}

// loaded is the number of loaded conductors in the words of IEC 60364-5-52. Here a
// supply of more phases may stand for the run: more loaded conductors carry less,
// so that is the careful side. A split-phase circuit counts as three, though its
// neutral carries only what is unbalanced: deliberately careful.
func (at phases) loaded(in []quantity.Argument, steps *quantity.Steps) (int64, error) {
	word, err := at.of(in, steps)
	if err != nil {
		supply := in[at+3]
		if in[at].Word != alternating || !supply.Known {
			return 0, err
		}
		steps.Note("phases of the run not recorded: three loaded conductors, since the supply is " + supply.Word)
		return 3, nil
	}
	switch word {
	case direct, singlePhase:
		return 2, nil
	case splitPhase:
		steps.Note("split-phase: three loaded conductors, as if the neutral were loaded in full")
		return 3, nil
	case threePhase:
		return 3, nil
	}
	return 0, fmt.Errorf("the phases %q are not known", word)
}
