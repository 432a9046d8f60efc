// Package jobgen makes firms with any number of job files for benchmarks: files
// as an installer would write them at the end of a day, in several stages, in
// metric and US units, with planned and built values, and here and there a slip.
// It also makes a large synthetic set of definitions, to measure what growth
// would cost.
//
// Same number and seed, same bytes. Nothing here reads or writes files.
package jobgen
