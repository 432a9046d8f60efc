package review_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/review"
)

func TestCheckTable(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		rows [][]float64
		want []string
	}{
		{"none", nil, nil},
		{"ascending", [][]float64{{15, 1}, {15, 2}, {20, 1}}, nil},
		{"second key out of order", [][]float64{{15, 2}, {15, 1}, {20, 1}}, []string{"t.cue:2 table-order row 2 of ratings (A 15, poles 1) stands behind a row with larger keys"}},
		{"first key out of order", [][]float64{{20, 1}, {15, 2}}, []string{"t.cue:2 table-order row 2 of ratings (A 15, poles 2) stands behind a row with larger keys"}},
		{"twice, apart", [][]float64{{15, 1}, {20, 1}, {15, 1}}, []string{"t.cue:3 table-row-twice row 3 of ratings has the keys of row 1 (at t.cue:1): A 15, poles 1"}},
		{"a key is missing", [][]float64{{15, 1}, {20}}, []string{"t.cue:2 table-row row 2 of ratings has 1 of 2 keys (A, poles)"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			table := review.Table{Name: "ratings", Keys: []string{"A", "poles"}}
			for i, k := range tt.rows {
				table.Rows = append(table.Rows, review.Row{Key: k, At: fact.Origin{File: "t.cue", Line: i + 1}})
			}
			var have []string
			for _, r := range review.CheckTable(table) {
				have = append(have, r.At.String()+" "+r.Code+" "+r.Message)
				assert.NotEmpty(t, r.Mend)
			}
			assert.Equal(t, tt.want, have)
		})
	}
}

// Limits that are the rows of one printed table.
func TestReviewOfSeries(t *testing.T) {
	t.Parallel()
	rows := func(a, b, c string) firm {
		row := func(name, is, within string) string {
			return name + `: {` + front + `, within: ` + within + `, when: stacks: {voltage_high: ` + is + `, unit: location: setting: "basement"}}`
		}
		return policyWith("limits: {\n" + row("a", a, ">=900") + "\n" + row("b", b, ">=1000") + "\n" + row("c", c, ">=1200") + "\n" +
			`d: {` + front + `, within: >=1500, when: stacks: {voltage_high: >900, unit: location: setting: "plant room"}}` + "\n}")
	}
	runReviewCases(t, []reviewCase{
		{"as printed, with a hole", rows("<=150", ">=151 & <=600", ">600").want("rules/policy.cue", ">=151", "table-gap"), `>=151`, `>150`},
		{"neither has the bound", rows("<=150", ">150 & <600", ">600").want("rules/policy.cue", "voltage_high: >600", "table-gap"), `<600`, `<=600`},
		{"out of order", rows(">150 & <=600", "<=150", ">900").want("rules/policy.cue", "<=150,", "table-order").want("rules/policy.cue", "voltage_high: >900, unit: location: setting: \"basement", "table-gap"), `<=150,`, `>600 & <=900,`},
		{"counts", policyWith(`limits: {
		a: {` + front + `, within: >=900, when: stacks: modules: <=3}
		b: {` + front + `, within: >=1000, when: stacks: modules: >=5} // want: table-gap
	}`), `>=5`, `>=4`},
	})
}

func TestReviewOfWhatStandsTwice(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"a revision", policyWith(``).with("equipment/oar.cue", product("oar", "A", ``)+"\n#products: oar: A: {title: \"Wall stack\"} // want: revision-twice\n"), `#products: oar: A: {title: "Wall stack"}`, ``},
		{"a limit", policyWith(`limits: a: {` + gapLimit + `, within: >=20}
	limits: a: {` + gapLimit + `, within: >=20} // want: limit-in-two-places`), "limits: a: {" + gapLimit + ", within: >=20} // want: limit-in-two-places", ``},
	})
}
