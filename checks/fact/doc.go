// Package fact holds the facts of one job: the shape they must have (fields,
// lists, links, when they are due) and the values read from a job file, taken
// from equipment data or calculated.
//
// A Shape is plain data (it can be written to JSON and read back); Compile
// turns it into the Compiled form that decodes job files. Nothing in this
// package knows CUE, limits or output.
package fact
