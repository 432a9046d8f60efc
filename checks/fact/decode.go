package fact

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// Facts are the facts of one job. They belong to the Decoder that made them and
// are overwritten when it decodes the next job.
type Facts struct {
	Shape    *Compiled
	Root     *Instance
	Entries  [][]*Instance // by Scope.ID, in the order of the file
	Problems []jobfile.Problem
	Doubt    bool // a part of the file was not understood, so that something may be missing from sums
	OnHold   bool // the job owes nothing for now
	Stage    Stage
	Workings []*Working
	File     *jobfile.File

	dates map[Moment]Day
}

// Elsewhere finds what a job names and does not hold itself.
type Elsewhere interface {
	// Product finds equipment data by kind and pinned name ("morvane@B"). It
	// returns an error with a plain reason where there is none that can be used.
	Product(kind, name string) (*Instance, error)
	// Registered finds an entry of a register ("people") by its key. Kept tells
	// whether the firm keeps that register at all.
	Registered(register, key string) (entry *Instance, kept bool, err error)
}

// Decoder turns job files into Facts. One decoder serves one goroutine and
// reuses its memory from job to job.
type Decoder struct {
	shape     *Compiled
	elsewhere Elsewhere
	options   quantity.Options
	memory    arena
	facts     Facts
	kept      []keptValue // see Suppose
}

// NewDecoder returns a decoder for a shape. Options say how the firm writes
// decimals.
func NewDecoder(c *Compiled, e Elsewhere, o quantity.Options) *Decoder {
	return &Decoder{shape: c, elsewhere: e, options: o,
		facts: Facts{Shape: c, Entries: make([][]*Instance, len(c.Scopes)), dates: map[Moment]Day{}}}
}

// Decode reads the facts of one job file: values, links, stages, calculated
// measures. What cannot be read is listed in Problems and left Unreadable; the
// rest is there all the same.
func (d *Decoder) Decode(f *jobfile.File) *Facts {
	d.clear(f)
	facts := &d.facts
	facts.Root = d.instance(d.shape.Root, nil, f.Root)
	d.block(facts.Root, d.shape.Root.block, f.Root)
	d.resolveLinks()
	facts.OnHold = d.shape.status != nil && facts.Root.Get(d.shape.status).Text == "on hold"
	facts.readDates()
	facts.setStages()
	d.requireStage()
	facts.chooseBuilt()
	facts.calculate(&d.memory, d.shape.order)
	return facts
}

// requireStage reports a job without its stage. It would owe next to nothing and
// look well in every report.
func (d *Decoder) requireStage() {
	l := d.shape.stage
	if l == nil || d.facts.Root.Get(l).State != Absent {
		return
	}
	at, _ := d.facts.Root.BlockOf(l)
	d.problem(at, "no-stage", "the job has no stage, so that what is due by now is not known", "write stage: and one of "+strings.Join(l.Words, ", "))
}

func (d *Decoder) instance(sc *Scope, parent *Instance, node *jobfile.Node) *Instance {
	in := d.memory.instance(sc)
	in.Parent, in.Node, in.At = parent, node, node.Pos
	d.facts.Entries[sc.ID] = append(d.facts.Entries[sc.ID], in)
	return in
}

func (d *Decoder) problem(at jobfile.Position, code, message, mend string) {
	d.facts.Doubt = d.facts.Doubt || code != "unreadable-value" && code != "no-equipment-data" && code != "not-in-register"
	d.facts.Problems = append(d.facts.Problems, jobfile.Problem{Pos: at, Code: code, Message: message, Mend: mend})
}

// block reads one mapping of the file into the instance.
func (d *Decoder) block(in *Instance, b *block, node *jobfile.Node) {
	last := -1
	for i := range node.Fields {
		f := &node.Fields[i]
		e, ok := b.find(f.Key, last)
		last = e.place
		switch {
		case !ok:
			d.unknown(b, f)
		case e.leaf != nil:
			d.leaf(in, e.leaf, f)
		case e.list != nil:
			d.list(in, e.list, f)
		case f.Value.Kind == jobfile.Mapping:
			d.block(in, e.block, f.Value)
		case f.Value.Kind != jobfile.Null:
			d.problem(f.Value.Pos, "not-a-block", fmt.Sprintf("%q has parts of its own: %s", f.Key, strings.Join(e.block.names, ", ")),
				fmt.Sprintf("write the parts below it, or as %s: {%s: …}", f.Key, e.block.names[0]))
		}
	}
}

func (d *Decoder) unknown(b *block, f *jobfile.Field) {
	where := "a job"
	if b.name != "" {
		where = fmt.Sprintf("%q", b.name)
	}
	if looksSecret(f.Key) {
		d.problem(f.KeyPos, "secret-written", fmt.Sprintf("%q looks like a secret, and a secret never stands in a job file", f.Key),
			"take it out, change it on the device, since git keeps what was committed, and record under credentials that it was changed")
		return
	}
	near := nearest.Of(f.Key, b.names)
	mend := "fields known here: " + strings.Join(b.names, ", ")
	if len(near) > 0 {
		mend = "write " + near[0]
	}
	d.problem(f.KeyPos, "unknown-field", fmt.Sprintf("%q is no field of %s%s", f.Key, where, nearest.Hint(near)), mend)
}

// looksSecret tells whether a key is one that people put in front of a secret.
func looksSecret(key string) bool {
	key = strings.ToLower(strings.NewReplacer("-", "", "_", "", " ", "").Replace(key))
	for _, word := range [...]string{"password", "passwd", "passphrase", "passcode", "passwort", "kennwort", "secret", "apikey", "accesskey", "privatekey", "psk", "wlankey", "wifikey", "accesstoken", "pincode"} {
		if strings.Contains(key, word) {
			return true
		}
	}
	return key == "pin" || key == "puk" || key == "token"
}

func (d *Decoder) list(in *Instance, sc *Scope, f *jobfile.Field) {
	if f.Value.Kind == jobfile.Null {
		return
	}
	if f.Value.Kind != jobfile.List {
		d.problem(f.Value.Pos, "not-a-list", fmt.Sprintf("%q is a list", f.Key), "write each entry on its own line, beginning with a dash")
		return
	}
	for _, item := range f.Value.Items {
		if item.Kind != jobfile.Mapping {
			d.problem(item.Pos, "not-an-entry", fmt.Sprintf("an entry of %q has fields, beginning with %s", f.Key, sc.key.Name()),
				fmt.Sprintf("write {%s: …}", sc.key.Name()))
			continue
		}
		d.entry(in, sc, item)
	}
}

// entry reads one entry of a list. An entry without a key, or with one that is
// taken, is read all the same, under a key that says so: its values are judged.
func (d *Decoder) entry(in *Instance, sc *Scope, item *jobfile.Node) {
	child := d.instance(sc, in, item)
	if sc.any != nil {
		*in.Get(sc.any) = Value{State: Known, At: item.Pos}
	}
	d.block(child, sc.block, item)
	key := child.Get(sc.key)
	siblings := in.Children[sc.place]
	child.Key = key.Text
	if key.State != Known {
		child.Key = fmt.Sprintf("#%d", len(siblings)+1)
		if key.State == Absent {
			d.problem(item.Pos, "no-key", fmt.Sprintf("this entry of %s has no %s", sc.List.Name, sc.key.Name()),
				fmt.Sprintf("give it %s of its own", withArticle(sc.key.Name())))
		}
	}
	for _, s := range siblings {
		if s.Key == child.Key && key.State == Known {
			d.problem(key.At, "key-taken", fmt.Sprintf("%s %q is taken by the entry in line %d", sc.key.Name(), child.Key, s.At.Line),
				"give each entry a key of its own")
			child.Key = fmt.Sprintf("%s#%d", child.Key, len(siblings)+1)
			break
		}
	}
	in.Children[sc.place] = append(siblings, child)
}

// leaf reads one field. A field read on site may be written as planned and built.
func (d *Decoder) leaf(in *Instance, l *Leaf, f *jobfile.Field) {
	if l.Planned < 0 || f.Value.Kind != jobfile.Mapping {
		slot := l.Slot
		if l.Planned >= 0 {
			slot = l.Planned // a bare value is the plan
		}
		d.values(&in.Values[slot], l, f.KeyPos, f.Value)
		return
	}
	for i := range f.Value.Fields {
		part := &f.Value.Fields[i]
		switch part.Key {
		case "planned":
			d.values(&in.Values[l.Planned], l, part.KeyPos, part.Value)
		case "built":
			d.values(&in.Values[l.Slot], l, part.KeyPos, part.Value)
		default:
			names := []string{"planned", "built"}
			d.problem(part.KeyPos, "unknown-field", fmt.Sprintf("%q is neither planned nor built%s", part.Key, nearest.Hint(nearest.Of(part.Key, names))),
				fmt.Sprintf("write %s: {planned: …, built: …}", f.Key))
		}
	}
}

// values reads a field that may have many values.
func (d *Decoder) values(v *Value, l *Leaf, key jobfile.Position, node *jobfile.Node) {
	if node.Kind == jobfile.Null {
		v.At = key
		return
	}
	if !l.Many {
		d.value(v, l, node)
		return
	}
	if node.Kind != jobfile.List {
		d.unreadable(v, l, node, "takes a list", "write it in brackets: "+l.Name()+": […]")
		return
	}
	if len(node.Items) == 0 {
		v.At = node.Pos // an empty list says nothing
		return
	}
	v.State, v.At = Known, node.Pos
	v.More = &More{List: make([]Value, len(node.Items))}
	for i, item := range node.Items {
		d.value(&v.More.List[i], l, item)
		if v.More.List[i].State != Known {
			v.State = Unreadable
		}
	}
	if node.Span.End > node.Span.Start {
		v.Written = d.facts.File.Raw(node.Span)
	}
}

func (d *Decoder) unreadable(v *Value, l *Leaf, node *jobfile.Node, message, mend string) {
	v.State, v.At, v.Written = Unreadable, node.Pos, node.Text
	v.More = &More{Reason: "it " + message}
	d.problem(node.Pos, "unreadable-value", l.Name()+" "+message, mend)
}
