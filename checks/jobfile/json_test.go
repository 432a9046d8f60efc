package jobfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestJSONRefused(t *testing.T) {
	checkRefusals(t, "job.JSON", []refusal{
		{"empty", " \n", CodeEmpty, 0, 0, "empty"},
		{"comment", "{\"a\": 1} # x\n", CodeJSON, 1, 10, "comments"},
		{"slashes", "{\n// x\n\"a\": 1}\n", CodeJSON, 2, 1, "comments"},
		{"trailing comma", "{\"°\": 1,}\n", CodeJSON, 1, 9, "comma before }"},
		{"trailing comma in list", "{\"a\": [1,]}\n", CodeJSON, 1, 10, "comma before ]"},
		{"bare key", "{a: 1}\n", CodeJSON, 1, 2, "double quotes"},
		{"single quotes", "{\"a\": 'b'}\n", CodeJSON, 1, 7, "double quotes"},
		{"no comma", "{\"a\": 1 \"b\": 2}\n", CodeJSON, 1, 9, "comma"},
		{"no colon", "{\"a\" 1}\n", CodeJSON, 1, 6, "colon"},
		{"leading zero", "{\"a\": 010}\n", CodeJSON, 1, 8, "zero"},
		{"bare word", "{\"a\": nope}\n", CodeJSON, 1, 8, "double quotes"},
		{"tab in quotes", "{\"a\": \"x\ty\"}\n", CodeJSON, 1, 9, "\\t"},
		{"escape", "{\"a\": \"\\q\"}\n", CodeJSON, 1, 9, "backslash"},
		{"cut off", "{\"a\": [1,\n 2\n\n", CodeJSON, 2, 0, "ends before"},
		{"two values", "{\"a\": 1}\n{\"b\": 2}\n", CodeJSON, 2, 1, "behind the end"},
		{"yaml in a json file", "a: 1\n", CodeJSON, 1, 1, "value"},
		{"behind a mark", "\ufeff{\"a\": 1,}\n", CodeJSON, 1, 9, "comma"},
		{"duplicate", "{\"a\": 1,\n \"\\u0061\": 2}\n", CodeDuplicateKey, 2, 2, "line 1"},
		{"list", "[1]\n", CodeRoot, 1, 1, "list"},
		{"pair of escapes", "{\"a\": \"\\ud83d\\ude00\"}\n", CodeBadEscape, 1, 10, "character itself"},
	})
}

func TestJSONTree(t *testing.T) {
	f := read(t, "job.json", "{\n\t\"a\": [1, 2.50, \"x\\/\\u00e9\", true, null],\r\n\t\"b\":{\"c\":\"010\"}}\n")
	a := f.Root.Field("a").Items
	require.Len(t, a, 5)
	assert.Equal(t, []ScalarType{Integer, Number, Text, Boolean, 0}, []ScalarType{a[0].Type, a[1].Type, a[2].Type, a[3].Type, a[4].Type})
	assert.Equal(t, "2.50", a[1].Text)
	assert.Equal(t, "x/é", a[2].Text)
	assert.Equal(t, Null, a[4].Kind)
	assert.Equal(t, Position{Line: 3, Column: 11}, f.Root.Field("b").Field("c").Pos)

	f = read(t, "job.yaml", "{\"a\": [1, 2]}")
	assert.Len(t, f.Root.Field("a").Items, 2, "JSON is YAML too")
}
