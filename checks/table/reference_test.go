package table_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/table"
)

// record is one row of a reference file, by column.
type record map[string]string

// reference reads a file of testdata/reference: comments, a header, rows.
func reference(t *testing.T, name string) []record {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/" + name + ".csv")
	require.NoError(t, err)
	for bytes.HasPrefix(data, []byte("#")) {
		_, data, _ = bytes.Cut(data, []byte("\n"))
	}
	lines, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 5)
	var out []record
	for _, line := range lines[1:] {
		r := record{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		out = append(out, r)
	}
	return out
}

// wire writes a size of the reference files as a job does.
func wire(size string) string {
	if strings.Contains(size, "/") || len(size) < 3 {
		return size + " AWG"
	}
	return size + " kcmil"
}

// The tables that ship hold the figures of the reference files, cell by cell and
// without a row more or less.
func TestTablesAreTheReferenceFigures(t *testing.T) {
	all, set := shipped(t)
	rows := map[string]int{}
	for _, x := range all {
		rows[x.Name] = len(x.Rows)
	}
	for _, c := range []struct {
		file, table string
		where       record // rows of the file that the table holds
		how         string
		keys        func(record) []table.Key
		columns     map[string]string // of the table, by those of the file
		unit        string
	}{
		{"nec_310_16", "us/nec-2023/310.16", nil, "at", func(r record) []table.Key { return keysOf([]string{wire(r["size_awg_kcmil"])}) },
			map[string]string{"cu_60c_a": "copper 60", "cu_75c_a": "copper 75", "cu_90c_a": "copper 90", "al_60c_a": "aluminium 60", "al_75c_a": "aluminium 75", "al_90c_a": "aluminium 90"}, " A"},
		{"nec_310_15_temp_correction", "us/nec-2023/310.15-ambient", nil, "up to", func(r record) []table.Key { return keysOf([]string{r["ambient_to_c"] + " °C"}) },
			map[string]string{"factor_60c": "60", "factor_75c": "75", "factor_90c": "90"}, ""},
		{"nec_310_15_adjustment", "us/nec-2023/310.15-count", nil, "at", func(r record) []table.Key { return keysOf([]string{r["conductors_from"]}) }, map[string]string{"percent": "factor"}, " %"},
		{"nec_ch9_table8", "us/nec-2023/ch9-table8", nil, "at", func(r record) []table.Key { return keysOf([]string{r["stranding"], wire(r["size_awg_kcmil"])}) },
			map[string]string{"cu_ohm_per_kft_75c": "copper", "al_ohm_per_kft_75c": "aluminium"}, " Ω/kft"},
		{"nec_ch9_table8", "us/nec-2023/ch9-table8", nil, "at", func(r record) []table.Key { return keysOf([]string{r["stranding"], wire(r["size_awg_kcmil"])}) }, map[string]string{"area_cmil": "area"}, " cmil"},
		{"nec_250_122", "us/nec-2023/250.122", nil, "at", func(r record) []table.Key { return keysOf([]string{r["ocpd_max_a"] + " A"}) }, map[string]string{"cu_awg_kcmil": "copper", "al_awg_kcmil": "aluminium"}, "wire"},
		{"iec_60228", "iec/60228/resistance", nil, "at", func(r record) []table.Key { return keysOf([]string{r["area_mm2"] + " mm²"}) },
			map[string]string{"cu_class2_plain_ohm_km": "copper stranded", "cu_class5_plain_ohm_km": "copper fine-stranded", "al_class2_ohm_km": "aluminium stranded"}, " Ω/km"},
		{"iec_60364_5_52", "iec/60364-5-52/capacity", record{"kind": "capacity"}, "at", func(r record) []table.Key {
			return keysOf([]string{r["insulation"], r["loaded_conductors"], r["key"] + " mm²"})
		}, map[string]string{"value": "method"}, " A"},
		{"iec_60364_5_52", "iec/60364-5-52/ambient", record{"kind": "ambient_air"}, "at", func(r record) []table.Key { return keysOf([]string{r["insulation"], r["key"] + " °C"}) }, map[string]string{"value": "factor"}, ""},
		{"iec_60364_5_52", "iec/60364-5-52/group-bunched", record{"kind": "group_bunched_item1"}, "at", func(r record) []table.Key { return keysOf([]string{r["key"]}) }, map[string]string{"value": "factor"}, ""},
		{"iec_60364_5_52", "iec/60364-5-52/group-single-layer", record{"kind": "group_single_layer_wall_item2"}, "at", func(r record) []table.Key { return keysOf([]string{r["key"]}) }, map[string]string{"value": "factor"}, ""},
		{"iec_60364_5_52", "iec/60364-5-52/group-perforated-tray", record{"kind": "group_perforated_tray_item4"}, "at", func(r record) []table.Key { return keysOf([]string{r["key"]}) }, map[string]string{"value": "factor"}, ""},
	} {
		f, n := get(t, set, c.table), 0
		for _, r := range reference(t, c.file) {
			if c.where != nil && r["kind"] != c.where["kind"] {
				continue
			}
			n++
			look := f.At
			if c.how == "up to" {
				look = f.UpTo
			}
			for from, column := range c.columns {
				if column == "method" {
					column = r["method"]
				}
				have, err := look(column, c.keys(r)...)
				if r[from] == "" {
					var e *table.Error
					require.ErrorAs(t, err, &e, "%s %v", c.table, r)
					assert.Equal(t, table.NoFigure, e.Reason)
					continue
				}
				require.NoError(t, err, "%s %v", c.table, r)
				want := r[from] + c.unit
				if c.unit == "wire" {
					want = wire(r[from])
				}
				assert.Equal(t, want, have.String(), "%s %s %v", c.table, column, r)
			}
		}
		if c.table == "iec/60364-5-52/capacity" {
			n /= 5 // five methods in a row of the table
		}
		assert.Equal(t, rows[c.table], n, c.table)
	}
}
