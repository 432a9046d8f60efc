package fact

import "witnessmark.example/checks/quantity"

// arena hands out instances and values and takes them all back at once, so that
// judging a job allocates next to nothing.
type arena struct {
	workings  []*Working
	worked    int
	args      []quantity.Argument
	instances []*Instance
	used      int
	chunks    [][]Value
	chunk     int // the chunk in use
	at        int // next free value of it
}

const chunkSize = 1024

// reset makes everything handed out free again.
func (a *arena) reset() {
	for i := 0; i < len(a.chunks) && i <= a.chunk; i++ {
		end := len(a.chunks[i])
		if i == a.chunk {
			end = a.at
		}
		clear(a.chunks[i][:end])
	}
	a.used, a.chunk, a.at, a.worked = 0, 0, 0, 0
}

// values returns n zero values.
func (a *arena) values(n int) []Value {
	for {
		if a.chunk == len(a.chunks) {
			a.chunks = append(a.chunks, make([]Value, max(chunkSize, n)))
		}
		c := a.chunks[a.chunk]
		if a.at+n <= len(c) {
			out := c[a.at : a.at+n : a.at+n]
			a.at += n
			return out
		}
		a.chunk, a.at = a.chunk+1, 0
	}
}

// instance returns an empty instance of a list.
func (a *arena) instance(sc *Scope) *Instance {
	if a.used == len(a.instances) {
		block := make([]Instance, 64)
		for i := range block {
			a.instances = append(a.instances, &block[i])
		}
	}
	in := a.instances[a.used]
	a.used++
	backs, children := in.Backs, in.Children
	*in = Instance{Scope: sc, Values: a.values(sc.slots)}
	in.Backs = resized(backs, len(sc.Backs))
	in.Children = emptied(children, len(sc.Children))
	return in
}

// resized returns a slice of n zero elements, reusing s where it is large enough.
func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// emptied returns n empty lists, keeping the room they had.
func emptied(s [][]*Instance, n int) [][]*Instance {
	if cap(s) < n {
		return make([][]*Instance, n)
	}
	s = s[:n]
	for i := range s {
		s[i] = s[i][:0]
	}
	return s
}

// working returns an empty record of a calculation.
func (a *arena) working() *Working {
	if a.worked == len(a.workings) {
		a.workings = append(a.workings, new(Working))
	}
	w := a.workings[a.worked]
	a.worked++
	*w = Working{Inputs: w.Inputs[:0]}
	return w
}

// arguments returns n empty arguments, good until the next call.
func (a *arena) arguments(n int) []quantity.Argument {
	a.args = resized(a.args, n)
	return a.args
}
