package report

import (
	"github.com/fatih/color"

	"witnessmark.example/checks/judge"
)

// palette holds the colours of the text report. Each of its colours is switched
// by itself, so that nothing depends on what the library finds out about the
// machine.
type palette struct {
	path, strong, faint                      painter
	outside, close, missing, unknown, within painter
}

// painter is a pair of sequences around a piece of text; both empty for none.
type painter struct{ on, off string }

func newPalette(on bool) palette {
	return palette{
		path: paint(on, color.Bold), strong: paint(on, color.Bold), faint: paint(on, color.Faint),
		outside: paint(on, color.FgRed, color.Bold), close: paint(on, color.FgYellow, color.Bold),
		missing: paint(on, color.FgMagenta, color.Bold), unknown: paint(on, color.FgCyan, color.Bold), within: paint(on, color.FgGreen),
	}
}

// paint takes the sequences out of the library by painting one letter.
func paint(on bool, attributes ...color.Attribute) painter {
	if !on {
		return painter{}
	}
	c := color.New(attributes...)
	c.EnableColor()
	const letter = "x"
	painted := c.Sprint(letter)
	for i := range painted {
		if painted[i:i+1] == letter {
			return painter{painted[:i], painted[i+1:]}
		}
	}
	return painter{}
}

// of returns the colour of an outcome. Only what was compared and is within has the
// colour of a pass; what was accepted stands out, and what was not judged is faint.
func (p *palette) of(k judge.Kind) painter {
	switch k {
	case judge.Outside:
		return p.outside
	case judge.TooClose:
		return p.close
	case judge.Missing:
		return p.missing
	case judge.NotChecked:
		return p.unknown
	case judge.Accepted:
		return p.strong
	case judge.Within:
		return p.within
	}
	return p.faint
}
