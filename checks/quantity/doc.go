// Package quantity holds exact quantities with units as the trade writes them:
// "22 mm ± 1 mm", "3 ft 6 1/2 in", "51 lbf·in", "1/0 AWG", "41 °C".
//
// A Quantity keeps the author's own digits and unit for the report and carries
// the value in the base unit of its kind for comparing. Comparing goes by
// floats first; only when these agree within one part in 1e9 does it decide
// exactly, by rational arithmetic over the written digits. Equal lengths
// written in two units are therefore equal, although their floats often differ
// in the last bit.
//
// Kinds are names, not dimension vectors: torque is not energy, apparent power
// is not real power, a temperature is not a temperature difference.
//
// Everything here is pure: no input or output, no state that changes, safe for
// use by many goroutines.
package quantity
