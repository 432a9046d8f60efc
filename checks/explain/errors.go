package explain

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Entry is a job, or an entry of a register, of the firm: what a name may mean
// that no definition has.
type Entry struct {
	Job      string // file of the job; empty for an entry of a register
	Register string // list of the register: "register.people"; empty for a job
	At       fact.Origin
}

// Unknown says that a name stands for nothing in the definitions in use.
type Unknown struct {
	Name    string
	Nearest []string // names that were perhaps meant, best first
	NoFirm  bool     // only what ships was looked at
	Entries []Entry  // of the firm that have this key
}

// Error names the nearest names, and where else the name may have come from. Of
// the key of a job or of an entry it says what to run instead.
func (u *Unknown) Error() string {
	if len(u.Entries) > 0 {
		parts := make([]string, len(u.Entries))
		for i, e := range u.Entries {
			parts[i] = e.says()
		}
		return fmt.Sprintf("%q is no name of a definition; it is %s", u.Name, strings.Join(parts, "; it is also "))
	}
	s := fmt.Sprintf("there is no limit, measure, field, word or rule set %q%s", u.Name, nearest.Hint(u.Nearest))
	if u.NoFirm {
		s += " (no root file was found here or above, so that only what ships with the tool is known)"
	}
	return s
}

// says tells where the entry stands and what shows more of it.
func (e Entry) says() string {
	if e.Job != "" {
		return fmt.Sprintf("the number of a job, in %s: run \"witnessmark lint %s\" to have it judged, \"witnessmark limits --for %s\" for what it is judged by", e.At, e.Job, e.Job)
	}
	return fmt.Sprintf("the key of an entry of %s, at %s: run \"witnessmark explain %s\" for what such an entry says", e.Register, e.At, e.Register)
}

// Broken says that the limit asked for is there, but with a mistake that keeps it
// from being applied.
type Broken struct {
	Name   string
	Faults []limit.Fault // at least one
}

// Error says where the mistake is, and what it is.
func (b *Broken) Error() string {
	parts := make([]string, len(b.Faults))
	for i := range b.Faults {
		f := &b.Faults[i]
		parts[i] = fmt.Sprintf("%s: %s (%s)", f.At, f.Message, f.Mend)
	}
	return fmt.Sprintf("%s has a mistake and is not applied: %s", b.Name, strings.Join(parts, "; "))
}
