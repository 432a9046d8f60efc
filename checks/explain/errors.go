package explain

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Unknown says that a name stands for nothing in the definitions in use.
type Unknown struct {
	Name    string
	Nearest []string // names that were perhaps meant, best first
	NoFirm  bool     // only what ships was looked at
}

// Error names the nearest names, and where else the name may have come from.
func (u *Unknown) Error() string {
	s := fmt.Sprintf("there is no limit, measure, field, word or rule set %q%s", u.Name, nearest.Hint(u.Nearest))
	if u.NoFirm {
		s += " (no root file was found here or above, so that only what ships with the tool is known)"
	}
	return s
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
