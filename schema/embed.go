// Package schema embeds the CUE module that holds everything an engineer may
// change: the shape of a job and of equipment data, the calculated measures and
// the rule sets. The same definitions, compiled to plain data, are embedded
// beside it, so that no CUE is evaluated at start-up for what ships with the
// tool; `go generate ./schema` makes them anew.
package schema

import "embed"

//go:generate go run witnessmark.example/checks/define/precompile

// Files is the CUE module.
//
//go:embed cue.mod job equipment limit measure tables firm register facts rules
var Files embed.FS

// Compiled is the definitions as JSON, made from Files.
//
//go:embed compiled.json
var Compiled []byte
