package main

import (
	"bytes"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

// The page has every command with its help, and every option.
func TestManPage(t *testing.T) {
	status, page, trouble := new(trial).witnessmark(t, "man")
	require.Zero(t, status, trouble)
	assert.Contains(t, page, `.TH witnessmark 1 "" "witnessmark 1.2.3"`)
	plain := strings.NewReplacer(`\-`, "-", `\fB`, "", `\fI`, "", `\fP`, "", `\[u2026]`, "…").Replace(page)
	commands := 0
	var look func(before string, all []*cli.Command)
	look = func(before string, all []*cli.Command) {
		for _, c := range all {
			if c.Hidden {
				assert.NotContains(t, plain, before+c.Name+" --")
				continue
			}
			commands++
			_, section, found := strings.Cut(plain, "\n.SS "+before+c.Name+"\n")
			require.True(t, found, before+c.Name)
			section, _, _ = strings.Cut(section, "\n.SS ")
			for line := range strings.SplitSeq(c.UsageText, "\n") {
				assert.Contains(t, section, "\n"+line+"\n")
			}
			description, _, _ := strings.Cut(c.Description, "\n")
			assert.Contains(t, section, description)
			for _, f := range c.Flags {
				for _, n := range f.Names() {
					assert.Regexp(t, `\n(-h, )?--`+regexp.QuoteMeta(n)+`[ ,\n]`, section, before+c.Name)
				}
			}
			look(before+c.Name+" ", c.Subcommands)
		}
	}
	around, ended := surroundings{}, 0
	look("witnessmark ", commandsOf(around, &ended))
	assert.Greater(t, commands, 8)
	assert.Contains(t, plain, "--fail-on LIST\n")
	assert.Contains(t, plain, "--color auto|always|never\n")
	for _, r := range page {
		require.Less(t, r, rune(0x80), "outside ASCII")
	}
}

// The page is one that readers of manual pages have nothing to say about.
func TestManPageIsRead(t *testing.T) {
	_, page, _ := new(trial).witnessmark(t, "man")
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("no groff here")
	}
	c := exec.Command(groff, "-man", "-ww", "-Tutf8", "-P-cbou")
	c.Stdin = strings.NewReader(page)
	var out, trouble bytes.Buffer
	c.Stdout, c.Stderr = &out, &trouble
	require.NoError(t, c.Run())
	assert.Empty(t, trouble.String())
	assert.Contains(t, out.String(), "witnessmark lint [OPTION…] [PATH…]")
	assert.Contains(t, out.String(), "--as-of DATE|INSTANT")
}
