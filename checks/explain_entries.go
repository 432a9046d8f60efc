package checks

import (
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
)

// entries finds the jobs and the entries of registers that have a key, for a name
// that no definition has. Jobs that cannot be read are passed over.
func (l *Library) entries(key string) []explain.Entry {
	var out []explain.Entry
	for _, name := range define.RegisterNames() {
		if in := l.Firm.Registers[name][key]; in != nil {
			out = append(out, explain.Entry{Register: "register." + name, At: fact.Origin{File: in.File, Line: in.At.Line}})
		}
	}
	files, _ := l.engine.place.jobFiles(l.Firm.Jobs)
	for _, f := range files {
		job, _ := jobfile.ReadFS(l.Files, f.name, jobfile.Limits{})
		if job == nil {
			continue
		}
		if number := job.Root.Field("job"); number != nil && number.Text == key {
			out = append(out, explain.Entry{Job: f.name, At: fact.Origin{File: f.name, Line: number.Pos.Line}})
		}
	}
	return out
}
