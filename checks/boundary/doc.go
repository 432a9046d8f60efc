// Package boundary makes boundary cases for limits: for every number of a limit
// and every unit its measure can be written in, a value just inside, exactly at
// and just outside, each in a minimal job file to which the limit applies, with
// the outcome to expect.
//
// It does so for limits that ship and for those of a firm: of its rule sets, with
// the bands of its policy, and of its equipment data, whose figures are given.
//
// What to expect is worked out here with rational numbers and a table of units
// of its own, so that a slip in the engine's own comparison shows as a
// difference. Everything is pure: no input or output, same input, same cases.
//
// What it cannot do it says with an error: it never leaves a case out quietly.
package boundary
