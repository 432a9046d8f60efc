package checks

import (
	"io/fs"
	"strings"
	"time"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/review"
	"witnessmark.example/schema"
)

// Review is what came of looking for mistakes in definitions.
type Review struct {
	Remarks   []review.Remark // in the order of files and lines
	Limits    int             // looked at
	Tables    int             // of figures that calculations look up
	RuleSets  int
	Shipped   int // of the rule sets, with the tool
	Products  int // of which at least one revision could be read
	Revisions int
	Entries   int // of the map of required rule sets
	Unchecked int // limits whose stated examples depend on facts, so that they were only read
	Firm      string
	AsOf      AsOf
	Notes     []string // what was not looked at, as sentences
}

// OpenReview reads the definitions that a run with these options would judge by,
// and looks for everything that can be wrong with them. An error means that there
// is nothing to read at all.
func OpenReview(o Options) (*Review, error) {
	l, err := OpenLibrary(o)
	if err != nil {
		return nil, err
	}
	return l.Review(o.AsOf), nil
}

// Review looks for mistakes in the definitions of a library as of a time. Plans
// that it makes stay with the library.
func (l *Library) Review(at AsOf) *Review {
	s := &review.Subject{Shape: l.Shape, Functions: l.engine.functions, Sets: l.Sets, Tables: l.Tables, Products: l.Products, Required: l.Firm.Required, Ships: l.Own,
		Places: define.NewPlaces(l.text), Today: at.Day(zoneOf(l.Firm.TimeZone))}
	for _, c := range review.Together(l.Sets, l.Products, l.Firm.Required) {
		s.Plans = append(s.Plans, l.Plan(c.RuleSets, c.Products))
	}
	s.Faults = l.engine.book.allFaults(l.Firm)
	out := &Review{Remarks: review.Check(s), Limits: len(l.Limits()), Tables: len(l.Tables), RuleSets: len(l.Sets), Revisions: len(l.Products), Entries: len(l.Firm.Required),
		Firm: l.Firm.Name, AsOf: at, Notes: review.Notes()}
	if !l.HasFirm {
		out.Notes = append(out.Notes, "Anything of a firm: no root file ("+define.RootFile+") was found here or above.")
	}
	keys := map[string]bool{}
	for _, p := range l.Products {
		key, _, _ := strings.Cut(p.Name, "@")
		keys[key] = true
	}
	out.Products = len(keys)
	for _, set := range l.Sets {
		if l.Own[set.Source.Name] {
			out.Shipped++
		}
	}
	for _, one := range l.Limits() {
		if one.Examples != nil && one.Refers() {
			out.Unchecked++
		}
	}
	return out
}

func zoneOf(name string) *time.Location {
	if zone, err := time.LoadLocation(name); err == nil {
		return zone
	}
	return time.UTC
}

// text reads a file of definitions by the name that places give it: of what ships
// below schema, of the firm from the root.
func (l *Library) text(file string) ([]byte, error) {
	if own, ok := strings.CutPrefix(file, "schema/"); ok {
		if data, err := fs.ReadFile(schema.Files, own); err == nil {
			return data, nil
		}
	}
	return fs.ReadFile(l.Files, file)
}
