package checks

import (
	"hash/maphash"

	"witnessmark.example/checks/judge"
)

// Identity tells things apart that read alike once private values are left out of them,
// so that two runs of one process can be compared. It is made before, and by a seed of
// this process: nothing can be learned from it, and it is in no report. It is zero where
// nothing is left out.
type Identity struct {
	Fact  uint64 // what it is about; of a problem its message
	Value uint64 // the value as written
}

var identitySeed = maphash.MakeSeed()

func identityOf(parts ...string) uint64 {
	var h maphash.Hash
	h.SetSeed(identitySeed)
	for _, p := range parts {
		_, _ = h.WriteString(p) // it never fails
		_ = h.WriteByte(0)
	}
	return h.Sum64() | 1 // never zero
}

// identify makes the identities of problems.
func identify(problems []Problem) {
	for i := range problems {
		problems[i].Identity.Fact = identityOf(problems[i].Message)
	}
}

// identitiesOf makes those of the outcomes of a job.
func identitiesOf(r *judge.Result) []Identity {
	all := make([]Identity, len(r.Outcomes))
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if all[i].Fact = identityOf(o.Fact()); o.Value != nil {
			all[i].Value = identityOf(o.Value.Written, o.Value.Text)
		}
	}
	return all
}

// identify makes those of what came out across files.
func (r *Repository) identify() {
	one := func(o *RepositoryOutcome, premises string) {
		o.Identity = Identity{Fact: identityOf(o.Fact, premises), Value: identityOf(o.Written)}
	}
	for i := range r.Premises {
		for k := range r.Premises[i].Outcomes {
			one(&r.Premises[i].Outcomes[k], r.Premises[i].Premises)
		}
	}
	for i := range r.Outcomes {
		one(&r.Outcomes[i], "")
	}
}
