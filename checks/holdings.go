package checks

import (
	"strings"

	"witnessmark.example/checks/define"
)

// Holdings are what a firm's repository keeps, counted.
type Holdings struct {
	Jobs      int            // job files in the folder of jobs
	Products  int            // with data that can be used
	Revisions int            // of their datasheets
	Registers map[string]int // entries by register; a register that is not kept is absent
	RuleSets  []string       // of the firm's own
}

// Holdings counts what the firm keeps.
func (l *Library) Holdings() Holdings {
	h := Holdings{Registers: map[string]int{}, Revisions: len(l.Products)}
	files, _ := l.engine.place.jobFiles(l.Firm.Jobs)
	h.Jobs = len(files)
	products := map[string]bool{}
	for _, p := range l.Products {
		key, _, _ := strings.Cut(p.Name, "@")
		products[key] = true
	}
	h.Products = len(products)
	for _, name := range define.RegisterNames() {
		if l.Firm.Registers[name] != nil {
			h.Registers[name] = len(l.Firm.Registers[name])
		}
	}
	for i := range l.Firm.RuleSets {
		h.RuleSets = append(h.RuleSets, l.Firm.RuleSets[i].Source.Name)
	}
	return h
}
