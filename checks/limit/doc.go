// Package limit holds limits as data: the constraint on one measure, when it
// applies, which document and clause set it and how well that is known; and the
// compiled form that judges a value.
//
// Everything exported with JSON tags is plain data, so that rule sets can be
// compiled from CUE once and shipped. Nothing in this package knows CUE or output.
package limit
