package define

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"sort"
	"strings"
	"time"
	_ "time/tzdata" // so that time zones do not depend on the machine

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// RootFile is the name of a firm's root file.
const RootFile = "witnessmark.cue"

// Firm is a firm's repository as its root file describes it.
type Firm struct {
	Name         string
	Jobs         string // folder of the job files, from the root
	Equipment    string // of the equipment data
	Rules        string // of policies and local amendments
	DecimalComma bool
	TimeZone     string
	Languages    []string // of labels and pages, where a job states none
	Contacts     []Contact
	Required     []Required      // which rule sets jobs must name; in the order of the file
	RuleSets     []limit.RuleSet // policies and local amendments
	Products     *Products
	Registers    Registers
	Faults       []limit.Fault
	Digest       string // over all definition files of the firm

	RegisterFolder string // of the registers
}

// Product finds equipment data by kind and pinned name ("morvane@B").
func (f *Firm) Product(kind, name string) (*fact.Instance, error) {
	return f.Products.Product(kind, name)
}

// Registered finds an entry of a register by its key.
func (f *Firm) Registered(register, key string) (entry *fact.Instance, kept bool, err error) {
	return f.Registers.Find(register, key)
}

// NoFirm is what a job is judged by where there is no root file: nothing of a
// firm's own.
func NoFirm(own fs.FS, shape *fact.Compiled) *Firm {
	return &Firm{TimeZone: "UTC", Products: readProducts(newLoader(own), shape, emptyFS{}, "equipment"), Registers: Registers{}}
}

type emptyFS struct{}

func (emptyFS) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

// ReadFirm reads the root file and what it leads to. A mistake in one file never
// hides the others: it is listed in Faults, and the rest is used.
func ReadFirm(own, fsys fs.FS, shape *fact.Compiled) *Firm {
	l := newLoader(own)
	f := &Firm{Jobs: "jobs", Equipment: "equipment", Rules: "rules", RegisterFolder: "registers", TimeZone: "UTC"}
	if b := f.readFile(l, fsys, RootFile, l.form("firm", "#Firm")); !b.useless {
		f.readRoot(b.value, shape)
	}
	f.Products = readProducts(l, shape, fsys, f.Equipment, f.Rules, f.RegisterFolder)
	var faults []limit.Fault
	f.Registers, faults = readRegisters(l, shape, fsys, f.RegisterFolder, []string{f.Rules, f.Equipment})
	f.Faults = append(f.Faults, faults...)
	names, faults := definitionFiles(fsys, f.Rules, "rules", f.Equipment, f.RegisterFolder)
	f.Faults = append(f.Faults, faults...)
	seen := map[string]fact.Origin{}
	for _, name := range names {
		b := f.readFile(l, fsys, name, l.form("limit", "#RuleSet")) // asked anew: a file that takes too long changes the loader's context
		if b.useless {
			continue
		}
		sets, faults := readRuleSets(b.value, b.left)
		f.Faults = append(f.Faults, faults...)
		if len(sets) == 0 && len(faults) == 0 && !f.hasFault(name) {
			f.fault(fact.Origin{File: name, Line: 1}, "no-rule-set", "the file defines no rule set", "write #name: limit.#RuleSet & {…}, or remove the file")
		}
		for _, s := range sets {
			if first, taken := seen[s.Source.Name]; taken {
				f.fault(s.Source.At, "rule-set-twice", fmt.Sprintf("the rule set %s is also defined at %s", s.Source.Name, first), "give each rule set a name of its own")
				continue
			}
			seen[s.Source.Name] = s.Source.At
			f.RuleSets = append(f.RuleSets, s)
		}
	}
	f.Digest = digest(fsys, f.Equipment, f.Rules, f.RegisterFolder)
	return f
}

func (f *Firm) hasFault(file string) bool {
	return slices.ContainsFunc(f.Faults, func(x limit.Fault) bool { return x.At.File == file })
}

func (f *Firm) fault(at fact.Origin, code, message, mend string) {
	f.Faults = append(f.Faults, limit.Fault{At: at, Code: code, Message: message, Mend: mend})
}

// readFile reads and builds one CUE file of the firm.
func (f *Firm) readFile(l *loader, fsys fs.FS, name string, form cue.Value) built {
	data, err := fs.ReadFile(fsys, name)
	if err != nil {
		f.Faults = append(f.Faults, unreadable(name, err))
		return built{useless: true}
	}
	b := l.buildFile(name, data, name != RootFile, forms{"": form})
	f.Faults = append(f.Faults, b.faults...)
	return b
}

// unreadable says that a file of definitions could not be read.
func unreadable(name string, err error) limit.Fault {
	what := "the file could not be read"
	if errors.Is(err, fs.ErrNotExist) {
		what = "the file does not exist"
	}
	return limit.Fault{At: fact.Origin{File: name}, Code: "unreadable", Message: what, Mend: "look at its permissions, and at where it leads if it is a link"}
}

// readRoot reads the definition of the firm.
func (f *Firm) readRoot(v cue.Value, shape *fact.Compiled) {
	root := v.LookupPath(cue.ParsePath("#firm"))
	if !root.Exists() {
		f.fault(fact.Origin{File: RootFile, Line: 1}, "broken-definition", "the root file does not define #firm", "write #firm: firm.#Firm & {name: \"…\"}")
		return
	}
	if f.Name = strings.TrimSpace(text(root, "name")); f.Name == "" {
		at := origin(root.LookupPath(cue.ParsePath("name")))
		if at.Line == 0 || isForm(at.File) {
			at = origin(root)
		}
		f.fault(at, "broken-definition", "the root file does not say what the firm is called", "write name: \"…\"")
	}
	f.DecimalComma = textOr(root, "decimal", "point") == "comma"
	f.TimeZone = f.zone(root)
	f.Jobs, f.Equipment = f.folder(root, "jobs"), f.folder(root, "equipment")
	f.Rules, f.RegisterFolder = f.folder(root, "rules"), f.folder(root, "registers")
	f.Languages = readList(root.LookupPath(cue.ParsePath("languages")))
	f.readContacts(root.LookupPath(cue.ParsePath("contacts")))
	f.readRequired(root.LookupPath(cue.ParsePath("required")), shape)
}

// zone reads the time zone. One that does not exist is reported here, once, and
// not for every job.
func (f *Firm) zone(root cue.Value) string {
	name := textOr(root, "time_zone", "UTC")
	if _, err := time.LoadLocation(name); err != nil || name == "Local" {
		f.fault(origin(root.LookupPath(cue.ParsePath("time_zone"))), "unknown-time-zone", fmt.Sprintf("there is no time zone %q; days are counted in UTC", name), "write it as in the time-zone database, for example Etc/UTC")
		return "UTC"
	}
	return name
}

// folder reads a folder below the root; anything that leads out is refused.
func (f *Firm) folder(root cue.Value, field string) string {
	written := textOr(root, field, field)
	dir := path.Clean(written)
	if !fs.ValidPath(dir) || written == "" {
		f.fault(origin(root.LookupPath(cue.ParsePath(field))), "bad-folder", fmt.Sprintf("%s: %q does not lead to a folder below the root file", field, written), "write a path from the root file, with forward slashes")
		return field
	}
	return dir
}

func textOr(v cue.Value, field, otherwise string) string {
	w := v.LookupPath(cue.ParsePath(field))
	if d, ok := w.Default(); ok {
		w = d
	}
	if s, err := w.String(); err == nil {
		return s
	}
	return otherwise
}

// digest sums up every definition file of the firm, by name and content.
func digest(fsys fs.FS, dirs ...string) string {
	h := sha256.New()
	names := []string{RootFile}
	for _, dir := range dirs {
		more, _ := definitionFiles(fsys, dir, dir)
		names = append(names, more...)
	}
	sort.Strings(names)
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		fmt.Fprintf(h, "%s %d %v\n", name, len(data), err != nil)
		h.Write(data)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// IsDefinition tells whether a file of a firm holds definitions.
func IsDefinition(name string) bool { return strings.HasSuffix(name, ".cue") }
