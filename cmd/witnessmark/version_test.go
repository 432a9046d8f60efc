package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBuildOf(t *testing.T) {
	settings := func(pairs ...string) (out []debug.BuildSetting) {
		for i := 0; i < len(pairs); i += 2 {
			out = append(out, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return out
	}
	for _, c := range []struct {
		name, version, details string
		info                   debug.BuildInfo
	}{
		{"released", "1.2.3", "commit    0123abcd of 2026-03-11T18:30:00Z\nbuilt by  go1.26.8 linux/arm64\n",
			debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v1.2.3"},
				Settings: settings("GOARCH", "arm64", "GOOS", "linux", "vcs.revision", "0123abcd", "vcs.time", "2026-03-11T18:30:00Z", "vcs.modified", "false")}},
		{"changed", "1.2.3+dirty", "commit    0123abcd of 2026-03-11T18:30:00Z, with changes that are in no commit\nbuilt by  go1.26.8\n",
			debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v1.2.3+dirty"},
				Settings: settings("vcs.revision", "0123abcd", "vcs.time", "2026-03-11T18:30:00Z", "vcs.modified", "true")}},
		{"installed from a module proxy", "1.2.3", "commit    not known\nbuilt by  go1.26.8\n",
			debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v1.2.3"}}},
		{"go run", "development", "commit    not known\nbuilt by  go1.26.8\n",
			debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "(devel)"}}},
		{"a test", "development", "commit    not known\n", debug.BuildInfo{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := buildOf(&c.info)
			assert.Equal(t, c.version, got.version)
			assert.Equal(t, c.details, got.details())
		})
	}
}

func TestVersionSaysWhatItWasBuiltFrom(t *testing.T) {
	_, out, _ := (&trial{built: "commit    0123abcd of 2026-03-11T18:30:00Z\n"}).witnessmark(t, "--version")
	assert.Equal(t, "witnessmark 1.2.3\ncommit    0123abcd of 2026-03-11T18:30:00Z\n", out)
}
