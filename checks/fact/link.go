package fact

import (
	"errors"
	"fmt"
	"strings"

	"witnessmark.example/checks/nearest"
)

// resolveLinks ties every link to the entry or product it names, and fills the
// ways back.
func (d *Decoder) resolveLinks() {
	for _, l := range d.shape.links {
		for _, in := range d.facts.Entries[l.Scope.ID] {
			d.resolve(in, l, in.Get(l))
			if p := in.PlannedValue(l); p != nil {
				d.resolve(in, l, p)
			}
		}
	}
}

func (d *Decoder) resolve(in *Instance, l *Leaf, v *Value) {
	if v.State != Known {
		return
	}
	if !l.Many {
		d.tie(in, l, v)
		return
	}
	for i := range v.More.List {
		if one := &v.More.List[i]; one.State == Known {
			d.tie(in, l, one)
			if one.State != Known {
				v.State = Unreadable
				v.More.Reason = one.More.Reason
			}
		}
	}
}

// tie finds what one link names.
func (d *Decoder) tie(in *Instance, l *Leaf, v *Value) {
	if l.Target.List.IsEquipment() {
		product, err := d.elsewhere.Product(l.Target.List.Name[len(equipmentPrefix):], v.Text)
		var unpinned *Unpinned
		if errors.As(err, &unpinned) {
			v.State, v.More = Absent, &More{Reason: err.Error()}
			return
		}
		if err != nil {
			v.State, v.More = Unreadable, &More{Reason: err.Error()}
			mend := "name a product of the equipment folder with its revision, as in morvane@B"
			if errors.As(err, new(*BrokenProduct)) {
				mend = "mend the equipment data; nothing of this product is checked until then"
			}
			d.problem(v.At, "no-equipment-data", fmt.Sprintf("%s: %v", l.Name(), err), mend)
			return
		}
		v.Target = product
		return
	}
	if l.Target.List.IsRegister() {
		d.tieRegister(l, v)
		return
	}
	entries := d.facts.Entries[l.Target.ID]
	for _, other := range entries {
		if other.Key == v.Text {
			v.Target = other
			d.tieBack(in, l, v)
			return
		}
	}
	names := make([]string, len(entries))
	for i, other := range entries {
		names[i] = other.Key
	}
	reason := fmt.Sprintf("there is no %q among the %s%s", v.Text, l.Target.List.Name, hint(v.Text, names))
	v.State, v.More = Unreadable, &More{Reason: reason}
	d.problem(v.At, "no-such-entry", l.Name()+": "+reason, "name an entry that exists, or add it")
}

// hint offers the nearest names, or all of a few.
func hint(word string, names []string) string {
	near := nearest.Of(word, names)
	if len(near) == 0 && len(names) > 0 && len(names) <= 5 {
		return "; there is " + strings.Join(names, ", ")
	}
	return nearest.Hint(near)
}

// tieRegister finds an entry of a register. Where the firm keeps no such register
// the key stays known and leads nowhere: the run says so once.
func (d *Decoder) tieRegister(l *Leaf, v *Value) {
	register := l.Target.List.Name[len(registerPrefix):]
	entry, kept, err := d.elsewhere.Registered(register, v.Text)
	switch {
	case err != nil:
		v.State, v.More = Unreadable, &More{Reason: err.Error()}
		mend := "name an entry of the register, or add it there"
		if errors.As(err, new(*BrokenEntry)) {
			mend = "mend the register; what it says of the entry is not known until then"
		}
		d.problem(v.At, "not-in-register", l.Name()+": "+err.Error(), mend)
	case kept:
		v.Target = entry
	}
}

// tieBack gives the linked entry its way back. Being listed twice would make
// sums count it twice, so the second listing is refused.
func (d *Decoder) tieBack(in *Instance, l *Leaf, v *Value) {
	if l.back < 0 {
		return
	}
	if first := v.Target.Backs[l.back]; first != nil {
		reason := fmt.Sprintf("%s is already listed by %s in line %d", v.Target.Address(), first.Address(), first.At.Line)
		v.State, v.More = Unreadable, &More{Reason: reason}
		d.problem(v.At, "listed-twice", l.Name()+": "+reason, "list it once")
		return
	}
	v.Target.Backs[l.back] = in
}

// BrokenProduct says that there is equipment data, but with a mistake that keeps
// it from being used.
type BrokenProduct struct{ Product, File string }

// Error says where the mistake is reported.
func (b *BrokenProduct) Error() string {
	return fmt.Sprintf("the equipment data of %q is broken (see the problems of %s)", b.Product, b.File)
}

// BrokenEntry says that a register has an entry, or may have it, that cannot be
// used.
type BrokenEntry struct{ Reason string }

// Error says where the mistake is reported.
func (b *BrokenEntry) Error() string { return b.Reason }

// Unpinned says that a product is named without the revision of its datasheet.
// The link counts as not recorded until it is pinned.
type Unpinned struct{ Product string }

// Error says what to add.
func (u *Unpinned) Error() string {
	return fmt.Sprintf("the revision of the datasheet is not pinned; write it as %s@REVISION", u.Product)
}
