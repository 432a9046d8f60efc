package jobfile

// Limits bound what one file may ask of memory and time. A zero or negative
// field takes its default, so the zero value is the default.
type Limits struct {
	// Bytes is the largest file: 1 MiB by default, some 250 times a usual job
	// file. At most 1 GiB. It bounds the YAML parser's memory too, about 250
	// bytes for each byte of a file made to be hostile.
	Bytes int

	// Depth is how deep mappings and lists may stand in one another, the root
	// being 1: 64 by default. At most 1000.
	Depth int

	// Nodes is the largest number of values, keys not counted: 200,000 by
	// default.
	Nodes int

	// ScalarBytes is the longest single key or value, without quotes: 64 KiB
	// by default.
	ScalarBytes int
}

const (
	defaultBytes       = 1 << 20
	defaultDepth       = 64
	defaultNodes       = 200_000
	defaultScalarBytes = 64 << 10

	maxBytes = 1 << 30 // the line table packs an offset into 31 bits
	maxDepth = 1000    // the tree is walked by recursion
)

// complete fills in defaults and ceilings.
func (l Limits) complete() Limits {
	if l.Bytes <= 0 {
		l.Bytes = defaultBytes
	}
	if l.Depth <= 0 {
		l.Depth = defaultDepth
	}
	if l.Nodes <= 0 {
		l.Nodes = defaultNodes
	}
	if l.ScalarBytes <= 0 {
		l.ScalarBytes = defaultScalarBytes
	}
	l.Bytes = min(l.Bytes, maxBytes)
	l.Depth = min(l.Depth, maxDepth)
	return l
}
