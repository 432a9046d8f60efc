package report

import (
	"encoding/xml"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

type junitDoc struct {
	Suites []struct {
		Name          string `xml:"name,attr"`
		TestsCount    int    `xml:"tests,attr"`
		FailuresCount int    `xml:"failures,attr"`
		ErrorsCount   int    `xml:"errors,attr"`
		SkippedCount  int    `xml:"skipped,attr"`
		Cases         []struct {
			Name    string     `xml:"name,attr"`
			Class   string     `xml:"classname,attr"`
			Failure *junitSaid `xml:"failure"`
			Error   *junitSaid `xml:"error"`
			Skipped *junitSaid `xml:"skipped"`
		} `xml:"testcase"`
	} `xml:"testsuite"`
}

type junitSaid struct {
	Type    string `xml:"type,attr"`
	Message string `xml:"message,attr"`
	Body    string `xml:",chardata"`
}

func junit(t *testing.T, s Settings, files ...string) junitDoc {
	t.Helper()
	var doc junitDoc
	require.NoError(t, xml.Unmarshal([]byte(newTestRun(t).write(t, "junit", s, files...)), &doc))
	return doc
}

// Each suite counts what is in it, and every outcome is a case of the right kind.
func TestJUnitCases(t *testing.T) {
	r := newTestRun(t)
	var doc junitDoc
	require.NoError(t, xml.Unmarshal([]byte(r.write(t, "junit", Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [")), &doc))
	require.Len(t, doc.Suites, 2)
	passed, failed := 0, 0
	for _, s := range doc.Suites {
		failures, errors, skipped := 0, 0, 0
		for _, c := range s.Cases {
			switch {
			case c.Failure != nil:
				failures++
				assert.True(t, strings.HasPrefix(c.Failure.Body, c.Failure.Message), "the message stands in the body too")
			case c.Error != nil:
				errors++
				assert.NotEmpty(t, c.Error.Body)
			case c.Skipped != nil:
				skipped++
				assert.NotEmpty(t, c.Skipped.Body)
			default:
				passed++
			}
		}
		failed += failures
		assert.Equal(t, []int{len(s.Cases), failures, errors, skipped}, []int{s.TestsCount, s.FailuresCount, s.ErrorsCount, s.SkippedCount}, s.Name)
	}
	c := r.run.Counts.ByKind
	assert.Equal(t, c[judge.Within], passed, "only what is within passes")
	assert.Equal(t, c[judge.Outside]+c[judge.TooClose]+c[judge.Missing], failed)
	assert.Equal(t, "jobs/b.yaml", doc.Suites[1].Cases[0].Class)
	assert.NotNil(t, doc.Suites[1].Cases[0].Error)
}

// Where only findings are asked for, a case says how many outcomes are left out.
func TestJUnitFindingsOnly(t *testing.T) {
	doc := junit(t, Settings{FindingsOnly: true}, "jobs/a.yaml", eventful)
	said := ""
	for _, c := range doc.Suites[0].Cases {
		assert.False(t, c.Failure == nil && c.Skipped == nil, "%s passes", c.Name)
		if c.Skipped != nil {
			said += c.Skipped.Body + "\n"
		}
	}
	assert.Contains(t, said, "2 outcomes are within; only findings are told here")
	assert.Contains(t, said, "1 outcome is not applicable; only findings are told here")
}

// A report that would be too large for hosts tells later jobs by their findings only.
func TestJUnitIsCut(t *testing.T) {
	var out strings.Builder
	r := newTestRun(t)
	sink := NewJUnit(&out, Settings{}).(*junitSink)
	sink.most = 8000
	require.NoError(t, sink.Begin(r.run))
	for _, file := range []string{"jobs/a.yaml", "jobs/b.yaml", "jobs/c.yaml"} {
		require.NoError(t, sink.Job(sink.Render(nil, r.job(t, file, eventful))))
	}
	require.NoError(t, sink.End(r.run))
	var doc junitDoc
	require.NoError(t, xml.Unmarshal([]byte(out.String()), &doc))
	require.Len(t, doc.Suites, 3)
	assert.Equal(t, doc.Suites[0].FailuresCount, doc.Suites[2].FailuresCount)
	assert.Greater(t, doc.Suites[0].TestsCount, doc.Suites[2].TestsCount)
	assert.NotContains(t, out.String()[:3000], "only findings are told here")
	assert.Contains(t, out.String(), "2 outcomes are within; only findings are told here")
}

// A job in which nothing was compared, and one that is set aside, say so.
func TestJUnitNothingJudged(t *testing.T) {
	for _, text := range []string{bareJob, "job: 1\nstatus: cancelled\nstage: designed\n"} {
		said := ""
		for _, c := range junit(t, Settings{}, "jobs/a.yaml", text).Suites[0].Cases {
			require.NotNil(t, c.Skipped, "nothing passes: %s", c.Name)
			said += c.Skipped.Body
		}
		assert.Contains(t, said, "judged")
	}
}

func TestXMLText(t *testing.T) {
	for in, want := range map[string]string{"plain é": "plain é", `<a b="c">&'`: "&lt;a b=&#34;c&#34;&gt;&amp;&#39;", "a\ufffe\uffffb\ue000": "a\ufffd\ufffdb\ue000", "\U0001f6e0": "\U0001f6e0"} {
		assert.Equal(t, want, string(appendXML(nil, in)))
	}
}
