// Package stack is the physics of a storage stack: energies and voltages of
// modules in series or behind converters. Pure functions on typed quantities;
// no limits, no files. The words about each formula stand in package measure of
// the definitions.
package stack
