// Package conductor is the physics of conductors: what current they may carry,
// what protects them, how large protective and electrode conductors are, voltage
// drop and heating, by the NEC and by IEC 60364.
//
// Figures stand in the tables of the definitions and come through checks/table.
// Nothing is extrapolated and no size is converted from one system to the other:
// what a table does not have is an error that says so.
package conductor
