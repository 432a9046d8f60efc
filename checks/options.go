package checks

import "io/fs"

// Options say what a run looks at and how.
type Options struct {
	Paths   []string // files and folders, as given by the user; empty for the working folder
	Root    string   // folder of the root file; empty to look for it above the paths
	FS      fs.FS    // for tests: the root itself; Paths are then relative to it
	Schema  fs.FS    // for tests: a CUE module in place of the tool's own
	Shipped *Shipped // what ships with the tool, where it was read before; nil to read it. Schema goes before it
	AsOf    AsOf
	Workers int    // jobs judged at once; 0 for one per processor
	Version string // of the tool, for reports

	// Redact leaves private values out of all that sinks are given (see package redact).
	// Outcomes and counts are the same.
	Redact bool

	// WithoutProposals leaves out the values with which findings would go away. Looking
	// for them judges a job anew for each value that is tried.
	WithoutProposals bool

	// Progress, where there is one, is told how many of the job files have been read:
	// first 0, once they are found, then after each. The calls come one after the
	// other while the run lasts; nothing of a result depends on them.
	Progress func(read, files int)
}
