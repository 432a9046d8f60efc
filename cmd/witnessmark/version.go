package main

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// build says what the command was built from, as the compiler wrote it into the
// binary. The same commit built by the same Go gives the same.
type build struct {
	version  string // of the module, without the v; "development" where none is known
	revision string // the commit; empty where it was not built in a clone
	time     string // when the commit was made, in UTC; empty like revision
	modified bool   // with changes that are in no commit
	compiler string // as in "go1.26.8"
	platform string // as in "linux/amd64"
}

// development is the version of what was built from no known version.
const development = "development"

// thisBuild is the build of the running command.
func thisBuild() build {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return build{version: development}
	}
	return buildOf(info)
}

// buildOf reads what the compiler wrote down.
func buildOf(info *debug.BuildInfo) build {
	b := build{version: strings.TrimPrefix(info.Main.Version, "v"), compiler: info.GoVersion}
	if b.version == "" || b.version == "(devel)" {
		b.version = development
	}
	var system, processor string
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.revision = s.Value
		case "vcs.time":
			b.time = s.Value
		case "vcs.modified":
			b.modified = s.Value == "true"
		case "GOOS":
			system = s.Value
		case "GOARCH":
			processor = s.Value
		}
	}
	if system != "" && processor != "" {
		b.platform = system + "/" + processor
	}
	return b
}

// details are the lines that --version prints below the version.
func (b build) details() string {
	var lines []string
	switch {
	case b.revision == "":
		lines = append(lines, "commit    not known")
	case b.modified:
		lines = append(lines, fmt.Sprintf("commit    %s of %s, with changes that are in no commit", b.revision, b.time))
	default:
		lines = append(lines, fmt.Sprintf("commit    %s of %s", b.revision, b.time))
	}
	if b.compiler != "" {
		lines = append(lines, strings.TrimSpace("built by  "+b.compiler+" "+b.platform))
	}
	return strings.Join(lines, "\n") + "\n"
}
