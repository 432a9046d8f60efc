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
// A calculated measure is given a value through its inputs. Where that cannot be
// done, since a function looks into tables or takes the largest of several, it is
// taken as it comes, and the other side of the limit is put beside it; where both
// are calculated, one input is changed until the measure crosses the bound. The
// functions are asked for results then, and never for what is within a limit.
//
// What it cannot do it says with an error: it never leaves a case out quietly.
package boundary
