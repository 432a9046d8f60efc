package review_test

import "testing"

// The second value that a source prints is the same bound in other units.
func TestReviewOfPrintedValues(t *testing.T) {
	t.Parallel()
	one := func(within, second string) firm {
		return policyWith(`limits: a: {
			measure: "stacks.wall_gap", unit: "ft"
			within:  ` + within + `
			printed: {within: ` + second + `, unit: "mm"} // want: printed-differs
		}`)
	}
	air := func(second string) firm {
		return policyWith(`limits: a: {
			measure: "locations.air.low", unit: "°F"
			within:  >=32
			printed: {within: ` + second + `, unit: "°C"} // want: printed-differs
		}`)
	}
	runReviewCases(t, []reviewCase{
		{"a digit lost", one(`>=3`, `>=91`), `>=91`, `>=910`},
		{"just too far", one(`>=3`, `>=850`), `>=850`, `>=851`},
		{"too far above", one(`>=3`, `>=984`), `>=984`, `>=983`},
		{"the other direction", one(`>=3`, `<=914`), `<=914`, `>=914`},
		{"at the bound or not", one(`>=3`, `>914`), `>914`, `>=914`},
		{"a part missing", one(`>=3 & <=4`, `>=914`), `>=914`, `<=1219 & >=914`},
		{"a part wrong", one(`>=3 & <=4`, `>=914 & <=1129`), `1129`, `1219`},
		{"another fact", one(`>=facts.stacks.clearance.left`, `>=facts.stacks.clearance.right`), `clearance.right`, `clearance.left`},
		{"another share of a fact", one(`>=(2*facts.stacks.clearance.left)`, `>=(20*facts.stacks.clearance.left)`), `20*`, `2*`},
		{"something else added", one(`>=(facts.stacks.clearance.left + 1)`, `>=(facts.stacks.clearance.left + 30)`), `+ 30`, `+ 305`},
		{"temperatures have no share", air(`>=5`), `>=5`, `>=1`},
	})
	product := product("oar", "A", `"gap": {measure: "stacks.wall_gap", unit: "in", within: >=1
			printed: {within: >=254, unit: "mm"} // want: printed-differs
		}`)
	runReviewCases(t, []reviewCase{{"of equipment", policyWith(``).with("equipment/oar.cue", product), `254`, `25`}})
}
