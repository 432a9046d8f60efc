package fact

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// largestCount is beyond every number of things a job can have; more is a slip.
const largestCount = 1_000_000

// value reads one scalar into v by the type of its field.
func (d *Decoder) value(v *Value, l *Leaf, node *jobfile.Node) {
	if node.Kind != jobfile.Scalar {
		what := "a single value, not a list or a block"
		if l.Type == Quantity {
			what = "a number with its unit, not a list or a block"
		}
		d.unreadable(v, l, node, "takes "+what, "write "+l.Name()+": "+sample(l))
		return
	}
	v.State, v.At, v.Written, v.Text = Known, node.Pos, node.Text, node.Text
	switch l.Type {
	case Quantity:
		d.quantity(v, l, node)
	case Count:
		d.count(v, l, node)
	case Word:
		d.word(v, l, node)
	case Truth:
		d.truth(v, l, node)
	case Date:
		var ok bool
		if v.Day, ok = ParseDay(node.Text); !ok {
			d.unreadable(v, l, node, fmt.Sprintf("takes a date, not %q", node.Text), "write year-month-day, for example 2026-03-11")
		}
	default:
		d.text(v, l, node)
	}
}

// Sample is a value of the leaf as its author might write it.
func (l *Leaf) Sample() string { return sample(l) }

// sample is a value of the right form, for messages.
func sample(l *Leaf) string {
	switch {
	case l.Example != "":
		return l.Example
	case l.Type == Word:
		return l.Words[0]
	case l.Type == Truth:
		return "true"
	case l.Type == Date:
		return "2026-03-11"
	case l.Type == Count:
		return "6"
	case l.Type == Quantity:
		return "22 " + l.Unit
	}
	return "…"
}

func (d *Decoder) quantity(v *Value, l *Leaf, node *jobfile.Node) {
	q, err := quantity.Parse(node.Text, l.Of, d.options)
	if err == nil && q.Base() < 0 && !l.MayBeNegative() {
		d.unreadable(v, l, node, fmt.Sprintf("cannot be below zero, as %s is", node.Text), "write the amount without a minus, or leave it out")
		return
	}
	if err == nil {
		v.Quantity = q
		return
	}
	kind := withArticle(l.Of.Kind().String())
	mend := fmt.Sprintf("write %s in %s, for example %s", kind, l.Unit, sample(l))
	var e *quantity.Error
	if errors.As(err, &e) && len(e.Suggestions) > 0 {
		mend = "write " + strings.Join(e.Suggestions, " or ")
		plain := *e
		plain.Suggestions = nil // the mend says them
		err = &plain
	}
	in := " in " + l.Unit
	if l.Unit == l.Of.Kind().String() {
		in = "" // a ratio
	}
	d.unreadable(v, l, node, fmt.Sprintf("takes %s%s: %v", kind, in, err), mend)
}

func withArticle(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// MayBeNegative tells whether a value of the leaf can lie below zero: on a scale
// whose zero is a convention, or where the shape says so. The sign of a voltage, a
// current or a power is a convention of whoever measured, and a limit that is an upper
// end would take whatever is written with a minus.
func (l *Leaf) MayBeNegative() bool {
	switch l.Of.Kind() {
	case quantity.Temperature:
		return true // held in kelvin, so that none is
	case quantity.TemperatureDifference, quantity.TemperatureCoefficient, quantity.Angle, quantity.ReactivePower,
		quantity.Acceleration, quantity.SoundLevel:
		return true
	}
	return l.Signed
}

func (d *Decoder) count(v *Value, l *Leaf, node *jobfile.Node) {
	n, err := quantity.ParseDecimal(node.Text)
	if err != nil || n.Exp != 0 || n.Coef < 0 || n.Coef > largestCount {
		d.unreadable(v, l, node, fmt.Sprintf("takes a whole number without a unit, not %q", node.Text), "write the number of "+l.Noun+" alone, in digits")
		return
	}
	if n.Coef < int64(l.Least) {
		d.unreadable(v, l, node, fmt.Sprintf("cannot be %s", node.Text), fmt.Sprintf("write at least %d, or leave it out", l.Least))
		return
	}
	v.Quantity = quantity.New(n, l.Of)
}

func (d *Decoder) word(v *Value, l *Leaf, node *jobfile.Node) {
	if slices.Contains(l.Words, node.Text) {
		return
	}
	near := nearest.Of(node.Text, l.Words)
	mend := "use one of: " + strings.Join(l.Words, ", ")
	d.unreadable(v, l, node, fmt.Sprintf("cannot be %q%s", node.Text, nearest.Hint(near)), mend)
}

// truth reads yes and no as the trade writes them, beside true and false.
func (d *Decoder) truth(v *Value, l *Leaf, node *jobfile.Node) {
	switch node.Text {
	case "true", "yes":
		v.Truth = true
	case "false", "no":
	default:
		d.unreadable(v, l, node, fmt.Sprintf("takes true or false, not %q", node.Text), "write "+l.Name()+": true, or false")
	}
}

func (d *Decoder) text(v *Value, l *Leaf, node *jobfile.Node) {
	switch {
	case strings.TrimSpace(node.Text) == "":
		v.State, v.Text = Absent, ""
	case l.pattern != nil && !l.pattern.MatchString(node.Text):
		d.unreadable(v, l, node, fmt.Sprintf("cannot be %q", node.Text), "write it as in "+sample(l))
	case l.Type == Key && len(l.Words) > 0:
		d.word(v, l, node)
	case l.Type == Key && strings.ContainsAny(node.Text, "[]"):
		d.unreadable(v, l, node, "cannot have brackets in it", "use letters, digits, dots and dashes")
	}
}
