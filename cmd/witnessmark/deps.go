package main

import (
	_ "cuelang.org/go/cue"
	_ "cuelang.org/go/cue/build"
	_ "cuelang.org/go/cue/cuecontext"
	_ "cuelang.org/go/cue/format"
	_ "cuelang.org/go/cue/parser"
	_ "github.com/fatih/color"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/stretchr/testify/assert"
	_ "github.com/stretchr/testify/require"
	_ "github.com/urfave/cli/v2"
	_ "go.yaml.in/yaml/v4"
)

func main() {}
