// Command precompile makes the files of package schema that are made from its
// CUE: the package of facts, and the definitions as plain data. It runs in the
// folder of package schema, by `go generate ./schema`.
package main

import (
	"fmt"
	"os"

	"witnessmark.example/checks/define"
)

func main() {
	if err := run("."); err != nil {
		fmt.Fprintln(os.Stderr, "precompile:", err)
		os.Exit(1)
	}
}

func run(dir string) error {
	facts, err := define.FactsFile(os.DirFS(dir))
	if err != nil {
		return err
	}
	if err := os.WriteFile(dir+"/facts/facts_gen.cue", facts, 0o644); err != nil {
		return err
	}
	definitions, err := define.ReadOwn(os.DirFS(dir))
	if err != nil {
		return err
	}
	data, err := definitions.Encode()
	if err != nil {
		return err
	}
	return os.WriteFile(dir+"/compiled.json", data, 0o644)
}
