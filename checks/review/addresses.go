package review

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// addresses looks for limits and tables that are known from an account of their
// source and do not say where that can be read: nobody can compare them again.
func addresses(s *Subject) []Remark {
	var out []Remark
	tell := func(at fact.Origin, what string) {
		out = append(out, Remark{At: at, Code: "account-without-address",
			Message: what + " is known from an account of its source (grade " + string(limit.Secondary) + ") and does not say where that can be read",
			Mend:    "add the address of the page that was read, or grade it " + string(limit.Memory)})
	}
	for _, l := range s.all() {
		if l.Grade == limit.Secondary && l.Address == "" && l.Source.Address == "" {
			tell(s.beside(l.At, "grade", ""), l.FullName)
		}
	}
	for i := range s.Tables {
		if t := &s.Tables[i]; t.Grade == string(limit.Secondary) && t.Address == "" {
			tell(fact.Origin{File: t.File, Line: t.Line}, fmt.Sprintf("table %s", t.Name))
		}
	}
	return out
}
