package define

import (
	"bytes"
	"io/fs"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/physics"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// changed is the tool's own module with some files changed or added.
func changed(t testing.TB, edit map[string]func(string) string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(schema.Files, ".", func(p string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			data, err := fs.ReadFile(schema.Files, p)
			require.NoError(t, err)
			out[p] = &fstest.MapFile{Data: data}
		}
		return err
	}))
	for name, f := range edit {
		old := ""
		if out[name] != nil {
			old = string(out[name].Data)
		}
		out[name] = &fstest.MapFile{Data: []byte(f(old))}
	}
	return out
}

func insert(after, text string) func(string) string {
	return func(s string) string { return strings.Replace(s, after, after+"\n"+text+"\n", 1) }
}

// What is embedded is made from the CUE beside it.
func TestGeneratedFilesAreFresh(t *testing.T) {
	d, err := ReadOwn(schema.Files)
	require.NoError(t, err)
	data, err := d.Encode()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, schema.Compiled), "schema/compiled.json is stale; run go generate ./schema")
	facts, err := FactsFile(schema.Files)
	require.NoError(t, err)
	old, err := fs.ReadFile(schema.Files, "facts/facts_gen.cue")
	require.NoError(t, err)
	assert.Equal(t, string(facts), string(old), "schema/facts is stale; run go generate ./schema")
}

// Encoding and decoding definitions loses nothing.
func TestDefinitionsArePlainData(t *testing.T) {
	d, err := ReadOwn(schema.Files)
	require.NoError(t, err)
	data, err := d.Encode()
	require.NoError(t, err)
	again, digest, err := Decode(data)
	require.NoError(t, err)
	twice, err := again.Encode()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, twice))
	assert.Len(t, digest, 64)
}

// A field of a job is added by editing CUE alone.
func TestFieldAddedByCUEAlone(t *testing.T) {
	own := changed(t, map[string]func(string) string{"job/stack.cue": insert("#Stack: {",
		"	// Distance to the nearest bed.\n	bed_distance?: string @unit(mm) @label(en=\"distance to a bed\") @due(designed) @built(installed)")})
	d, err := ReadOwn(own)
	require.NoError(t, err)
	c, err := fact.Compile(&d.Shape, testFunctions())
	require.NoError(t, err)
	l := c.Leaf("stacks.bed_distance")
	require.NotNil(t, l)
	assert.Equal(t, fact.Quantity, l.Type)
	assert.Equal(t, fact.Installed, l.Built)
	assert.Equal(t, "Distance to the nearest bed.", l.Meaning)
	facts, err := FactsFile(own)
	require.NoError(t, err)
	assert.Contains(t, string(facts), "bed_distance:")
}

// testFunctions are the calculations without their tables: enough to compile.
func testFunctions() []quantity.Function { return physics.Functions(&table.Set{}) }

// Every form of field that is not understood is refused when definitions are
// loaded, with its place.
func TestRefusedShapes(t *testing.T) {
	for name, c := range map[string]struct{ field, says string }{
		"no due":               {`	// X.` + "\n" + `	x?: string @label(en="x")`, "every field needs @due"},
		"no label":             {`	// X.` + "\n" + `	x?: string @due(designed)`, "needs a meaning"},
		"no meaning":           {`	x?: string @due(designed) @label(en="x")`, "needs a meaning"},
		"unknown attribute":    {`	// X.` + "\n" + `	x?: string @due(designed) @label(en="x") @units(mm)`, "@units"},
		"unknown moment":       {`	// X.` + "\n" + `	x?: string @due(someday) @label(en="x")`, "someday"},
		"unknown stage":        {`	// X.` + "\n" + `	x?: string @due(designed) @built(done) @label(en="x")`, "done"},
		"bad delay":            {`	// X.` + "\n" + `	x?: string @due(designed, days=soon) @label(en="x")`, "soon"},
		"float":                {`	// X.` + "\n" + `	x?: number @due(designed) @label(en="x")`, "use a string with @unit"},
		"default":              {`	// X.` + "\n" + `	x?: string | *"a" @due(designed) @label(en="x")`, "default"},
		"count without noun":   {`	// X.` + "\n" + `	x?: int @due(designed) @label(en="x")`, "needs @unit"},
		"list without key":     {`	// X.` + "\n" + `	x?: [...{	id?: string}] @label(en="x")`, "needs @key"},
		"attribute on block":   {`	x?: {` + "\n// Y.\n" + `y?: string @due(designed) @label(en="y")} @due(designed)`, "not on a block"},
		"unit and date":        {`	// X.` + "\n" + `	x?: string @unit(mm) @date() @due(designed) @label(en="x")`, "only one of"},
		"words and pattern":    {`	// X.` + "\n" + `	x?: "a" | =~"b" @due(designed) @label(en="x")`, "one of several words"},
		"unit on a yes or no":  {`	// X.` + "\n" + `	x?: bool @unit(mm) @due(designed) @label(en="x")`, "do not go with this type"},
		"private number":       {`	// X.` + "\n" + `	x?: string @unit(mm) @due(designed) @private() @label(en="x")`, "@private goes with text"},
		"attribute twice":      {`	// X.` + "\n" + `	x?: string @due(designed) @due(surveyed) @label(en="x")`, "stands twice"},
		"attribute definition": {"}\n#Wide: string @unit(mm)\n#Other: {", "on the field itself"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadOwn(changed(t, map[string]func(string) string{"job/stack.cue": insert("#Stack: {", c.field)}))
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// Mistakes that only show when the shape is compiled.
func TestShapesThatDoNotCompile(t *testing.T) {
	for name, c := range map[string]struct{ field, says string }{
		"unknown unit": {`	// X.` + "\n" + `	x?: string @unit(furlong) @due(designed) @label(en="x")`, `"furlong" is no unit`},
		"unknown list": {`	// X.` + "\n" + `	x?: string @ref(stables) @due(designed) @label(en="x")`, `"stables", which is no list`},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := ReadOwn(changed(t, map[string]func(string) string{"job/stack.cue": insert("#Stack: {", c.field)}))
			require.NoError(t, err)
			_, err = fact.Compile(&d.Shape, testFunctions())
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
			assert.Contains(t, err.Error(), "schema/job/stack.cue:")
		})
	}
}

// House rule: a unit, a due date, a label and a meaning for every field that
// somebody writes.
func TestEveryLeafIsComplete(t *testing.T) {
	d, err := ReadOwn(schema.Files)
	require.NoError(t, err)
	written := 0
	for _, f := range d.Shape.Fields {
		assert.NotEmpty(t, f.Label["en"], f.Path)
		assert.NotEmpty(t, f.Meaning, f.Path)
		assert.NotZero(t, f.At.Line, f.Path)
		if f.Type == fact.Quantity || f.Type == fact.Count {
			assert.NotEmpty(t, f.Unit, f.Path)
		}
		if f.Calculation == nil && !strings.HasPrefix(f.Path, "equipment.") {
			written++
		}
	}
	assert.Greater(t, written, 110)
}

// Only CUE files of the module and of the firm are ever opened.
func TestNothingElseIsRead(t *testing.T) {
	opened := &recorder{FS: fstest.MapFS{
		RootFile:             {Data: []byte(root)},
		"equipment/a.cue":    {Data: []byte("package equipment\n")},
		"rules/p.cue":        {Data: []byte("package rules\n")},
		"rules/secret.txt":   {Data: []byte("x")},
		"cue.mod/module.cue": {Data: []byte("module: \"x.example\"\n")},
	}}
	ReadFirm(schema.Files, opened, shape(t))
	for _, name := range opened.names {
		if ext := path.Ext(name); ext != "" {
			assert.Equal(t, ".cue", ext, name)
		}
		assert.NotContains(t, name, "cue.mod")
	}
	assert.NotEmpty(t, opened.names)
}

type recorder struct {
	fs.FS
	names []string
}

func (r *recorder) Open(name string) (fs.File, error) {
	r.names = append(r.names, name)
	return r.FS.Open(name)
}
