// Package stack is the physics of a storage stack: voltages of modules in series or
// behind converters and the numbers of modules an inverter takes, energies and how
// long they last, currents that all parts carry and what heat and cold leave of them,
// short circuits, and what stacks in parallel do to each other. Pure functions on
// typed quantities; no limits, no files. The words about each formula stand in
// package measure of the definitions.
package stack
