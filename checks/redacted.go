package checks

import (
	"path"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/redact"
)

// redaction leaves private values out of a run. It is nil where that is not asked
// for, and then does nothing.
type redaction struct {
	places *redact.Places
	words  *redact.Words // of the firm's registers
	folder string        // of the registers
}

// newRedaction finds what is private in the shape and in the firm's registers.
func newRedaction(shape *fact.Compiled, firm *define.Firm) *redaction {
	r := &redaction{places: redact.NewPlaces(shape), words: &redact.Words{}, folder: firm.RegisterFolder}
	for _, name := range define.RegisterNames() {
		scope := shape.Scope("register." + name)
		for key, in := range firm.Registers[name] {
			if scope != nil && r.places.Registered(scope) {
				r.words.Add(key)
			}
			if in.Scope == nil {
				continue // broken
			}
			for _, l := range in.Scope.Leaves {
				if v := in.Get(l); l.IsPrivate() && v.State != fact.Absent {
					r.words.Add(v.Text)
					r.words.Add(v.Written)
				}
			}
		}
	}
	return r
}

// entries gives a worker copies of the entries of registers, which are shared
// otherwise, so that it may leave something out of them.
type entries struct {
	*define.Firm
	copies map[*fact.Instance]*fact.Instance // of the job at hand
}

// Registered finds an entry of a register by its key.
func (e *entries) Registered(register, key string) (*fact.Instance, bool, error) {
	in, kept, err := e.Firm.Registered(register, key)
	if in == nil {
		return in, kept, err
	}
	if e.copies[in] == nil {
		e.copies[in] = redact.Copy(in)
	}
	return e.copies[in], kept, err
}

// job leaves private values out of what came out for one job, once all is judged.
// It returns the words, for what is judged across files.
func (r *redaction) job(out *judged, job *Job, facts *fact.Facts, f *jobfile.File, used *entries) *redact.Words {
	if job.Result != nil { // before the facts that outcomes are about are changed
		job.Identities = identitiesOf(job.Result)
	}
	w := redact.Over(r.words)
	r.places.Gather(w, f.Root)
	r.places.Facts(facts, w)
	for _, in := range used.copies {
		r.places.Entry(in, w)
	}
	clear(used.copies)
	identify(out.problems)
	for i := range out.problems {
		w.Texts(&out.problems[i], "File", "Code")
	}
	if leaf := facts.Shape.Leaf("premises.id"); leaf != nil && leaf.IsPrivate() && job.Premises != "" {
		job.Premises = redact.LeftOut
	}
	w.Texts(job, "File", "Digest", "Number", "Premises", "Status", "Stage")
	if job.Result != nil {
		for i := range job.Result.Outcomes {
			w.Texts(&job.Result.Outcomes[i], "Check")
		}
	}
	for i := range job.Proposals {
		w.Texts(&job.Proposals[i], "Open")
	}
	return w
}

// aboutTheFile are the problems of a file as a whole, which quote nothing of it.
var aboutTheFile = map[string]bool{
	jobfile.CodeTooLarge: true, jobfile.CodeNotFound: true, jobfile.CodeDanglingLink: true, jobfile.CodeLinkLoop: true, jobfile.CodePermission: true,
	jobfile.CodeDirectory: true, jobfile.CodeNotAFile: true, jobfile.CodeEncoding: true, jobfile.CodeBinary: true, jobfile.CodeEmpty: true,
}

const lookWithout = "lint it without --redact to see what is wrong"

// unread leaves out the words of the problems of a file that could not be read. No
// value of it is known, so that none can be told from the others.
func (r *redaction) unread(problems []Problem) {
	identify(problems)
	for i := range problems {
		if p := &problems[i]; !aboutTheFile[p.Code] {
			p.Message, p.Mend = "what stands here could not be read ("+p.Code+"); the words are left out, since they quote the file", lookWithout
		}
	}
}

// fault is a problem of definitions. Those of registers quote them.
func (r *redaction) fault(f *limit.Fault) Problem {
	p := Problem{File: f.At.File, At: jobfile.Position{Line: f.At.Line}, Code: f.Code, Message: f.Message, Mend: f.Mend}
	if r != nil {
		p.Identity.Fact = identityOf(p.Message)
	}
	switch {
	case r == nil:
	case path.Dir(p.File) == path.Clean(r.folder):
		p.Message, p.Mend = "a register is not as it must be here ("+p.Code+"); the words are left out, since they quote it", lookWithout
	default:
		r.words.Texts(&p, "File", "Code")
	}
	return p
}

// repository leaves private values out of what came out across files.
func (r *redaction) repository(out *Repository, w *redact.Words, shape *fact.Compiled) {
	out.identify()
	leaf := shape.Leaf("premises.id")
	for i := range out.Premises {
		p := &out.Premises[i]
		if leaf != nil && leaf.IsPrivate() && p.Premises != "" {
			p.Premises = redact.LeftOutAs(i + 1)
		}
		w.Texts(p, "Premises", "Jobs")
		for k := range p.Outcomes {
			w.Texts(&p.Outcomes[k], "Name", "File", "Measure", "Margin")
		}
	}
	for i := range out.Outcomes {
		w.Texts(&out.Outcomes[i], "Name", "File", "Measure", "Margin")
	}
}
