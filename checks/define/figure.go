package define

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// readFigure reads one figure of a datasheet or register into its entry. A figure
// that cannot be read stays unreadable: what needs it is not checked.
func readFigure(in *fact.Instance, l *fact.Leaf, v cue.Value) []limit.Fault {
	if !v.Exists() || !v.IsConcrete() {
		return nil
	}
	out := in.Get(l)
	where := origin(v)
	in.Lines[l.Inside()] = where
	out.State, out.At.Line = fact.Known, where.Line
	if l.Many {
		return readFigures(in, l, v, out)
	}
	return figureFaults(in, l, where, out, figure(l, v, out))
}

// readFigures reads a list of figures.
func readFigures(in *fact.Instance, l *fact.Leaf, v cue.Value, out *fact.Value) []limit.Fault {
	out.More = &fact.More{}
	it, err := v.List()
	if err != nil {
		return figureFaults(in, l, origin(v), out, errors.New("is no list"))
	}
	var faults []limit.Fault
	for it.Next() {
		one := fact.Value{State: fact.Known}
		one.At.Line = origin(it.Value()).Line
		faults = append(faults, figureFaults(in, l, origin(it.Value()), &one, figure(l, it.Value(), &one))...)
		if one.State != fact.Known {
			out.State, out.More.Reason = fact.Unreadable, one.More.Reason
		}
		out.More.List = append(out.More.List, one)
	}
	return faults
}

// figureFaults marks a figure as unreadable where there is an error, and says so.
func figureFaults(in *fact.Instance, l *fact.Leaf, where fact.Origin, out *fact.Value, err error) []limit.Fault {
	if err == nil {
		return nil
	}
	mend := "write it as in " + example(l)
	var wrong *quantity.Error
	if errors.As(err, &wrong) && len(wrong.Suggestions) > 0 {
		mend = "write " + strings.Join(wrong.Suggestions, " or ")
		plain := *wrong
		plain.Suggestions = nil // the mend says them
		if plain.Problem == quantity.DecimalComma {
			plain.Detail = "has a comma; figures in definitions have a decimal point, whatever job files have"
		}
		err = &plain
	}
	out.State, out.More = fact.Unreadable, &fact.More{Reason: err.Error()}
	return []limit.Fault{{At: where, Code: "broken-" + family(l), Message: fmt.Sprintf("%s of %s: %s", l.Inside(), in.Key, err), Mend: mend}}
}

// family says in one word what a figure belongs to.
func family(l *fact.Leaf) string {
	if l.Scope.List.IsRegister() {
		return "register"
	}
	return "equipment"
}

func example(l *fact.Leaf) string {
	switch {
	case l.Example != "":
		return l.Example
	case l.Type == fact.Date:
		return "2026-03-11"
	case len(l.Words) > 0:
		return l.Words[0]
	}
	return "6"
}

// figure reads one value by the type of its field.
func figure(l *fact.Leaf, v cue.Value, out *fact.Value) error {
	switch l.Type {
	case fact.Truth:
		out.Truth, _ = v.Bool()
		return nil
	case fact.Count:
		n, err := number(v)
		d, err2 := quantity.ParseDecimal(n)
		if err != nil || err2 != nil {
			return errors.New("is no whole number")
		}
		out.Written, out.Quantity = n, quantity.New(d, l.Of)
		return nil
	}
	s, err := v.String()
	if err != nil {
		return errors.New("is no text")
	}
	out.Written, out.Text = s, s
	switch l.Type {
	case fact.Quantity:
		out.Quantity, err = quantity.Parse(s, l.Of, quantity.Options{})
		if err == nil && out.Quantity.Base() < 0 && !l.MayBeNegative() {
			return fmt.Errorf("cannot be below zero, as %s is", s)
		}
		return err
	case fact.Date:
		var ok bool
		if out.Day, ok = fact.ParseDay(s); !ok {
			return fmt.Errorf("%q is no date", s)
		}
	case fact.Word:
		if !slices.Contains(l.Words, s) {
			return fmt.Errorf("cannot be %q%s", s, nearest.Hint(nearest.Of(s, l.Words)))
		}
	}
	if strings.HasSuffix(l.Name(), "_pattern") {
		if _, err := regexp.Compile(s); err != nil {
			return fmt.Errorf("%q is no pattern (regular expression)", s)
		}
	}
	if l.Pattern != "" && !regexp.MustCompile(`\A(?:`+l.Pattern+`)\z`).MatchString(s) { // compiled once before, so it compiles
		return fmt.Errorf("cannot be %q", s)
	}
	return nil
}
