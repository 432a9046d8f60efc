package limit

import (
	"strings"

	"witnessmark.example/checks/fact"
)

// Required is one entry of a firm's map of region, occupancy and date to the rule
// sets that a job must name.
type Required struct {
	Region      string   // this region and every region below it
	Occupancies []string // none for all
	From, Until fact.Day // of the job's date that the rule set goes by; NoDay where open
	RuleSets    []string // none where no rules are in force
	Why         string
	At          fact.Origin
}

// Covers tells whether the entry is for a region: the same one, or one above it.
func (r *Required) Covers(region string) bool {
	return region == r.Region || strings.HasPrefix(region, r.Region+"/")
}

// For tells whether the entry is for an occupancy.
func (r *Required) For(occupancy string) bool {
	for _, o := range r.Occupancies {
		if o == occupancy {
			return true
		}
	}
	return len(r.Occupancies) == 0
}

// InForce tells whether the entry holds on a day.
func (r *Required) InForce(day fact.Day) bool {
	return (r.From == fact.NoDay || r.From <= day) && (r.Until == fact.NoDay || day <= r.Until)
}
