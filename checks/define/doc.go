// Package define reads definitions written in CUE (the shape of a job, measures,
// rule sets, equipment data, a firm's root file) into the plain data of packages
// fact and limit. It is the only package that knows CUE.
//
// What ships with the tool is read once, when `go generate` is run. A firm's own
// definitions are read at start-up. Only a small part of CUE is understood: what
// is not is refused with a message instead of being evaluated job by job.
package define
