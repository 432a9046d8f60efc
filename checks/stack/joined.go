package stack

import "witnessmark.example/checks/quantity"

// JoinedCurrent is a current of all stacks joined with one: that of the inverter
// they are wired to, or of a job with one stack its own. Result in A.
//
// Inputs: the current of all at the inverter; that of the stack; stacks of the job.
// Where the first is not known and the job has more than one stack, it is absent:
// nobody knows which are joined.
func JoinedCurrent() quantity.Function {
	return joined("stack.JoinedCurrent", quantity.Current, "A")
}

// JoinedVoltage is the same for the highest voltage. Result in V.
func JoinedVoltage() quantity.Function {
	return joined("stack.JoinedVoltage", quantity.Voltage, "V")
}

func joined(name string, kind quantity.Kind, unit string) quantity.Function {
	const all, own, stacks = 0, 1, 2
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "figure of all at the inverter", Kind: kind, Optional: true},
			{Name: "figure of the stack", Kind: kind},
			{Name: "stacks of the job", Kind: quantity.Count},
		},
		Result: kind,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			q := in[own].Quantity
			if in[all].Known {
				q = in[all].Quantity
			} else if in[stacks].Quantity.Base() > 1 {
				return q, &quantity.Absent{Input: all}
			} else {
				steps.Note("the only stack of the job: no other is joined with it")
			}
			return calculated(q.Base(), q.BaseUncertainty(), unit)
		},
	}
}
