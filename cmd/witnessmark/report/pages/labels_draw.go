package pages

import (
	"math"
	"strings"
	"unicode"
)

// signLine is one line of a label, before it is broken to fit.
type signLine struct {
	text string
	bold bool
}

// signDrawing lays out the lines of a label from its top.
type signDrawing struct {
	letters float64 // height of a capital
	pad     float64
	lines   []placedLine
	rules   []float64
	at      float64 // of the next line, from the top of the frame without padding
	widest  float64
}

type placedLine struct {
	signLine
	tag      string
	y, width float64
	squeezed bool
}

func (d *signDrawing) size() float64 { return d.letters / capitalHeight }

// line adds one line, broken where the sheet ends. A word that is wider than the
// sheet is squeezed: its letters keep their height.
func (d *signDrawing) line(tag string, l signLine) {
	room := signWidest - 2*d.pad
	for _, text := range broken(l.text, room/d.size(), l.bold) {
		width := widthOf(text, l.bold) * d.size()
		p := placedLine{signLine: signLine{text, l.bold}, tag: tag, y: d.at + d.letters, width: width, squeezed: width > room}
		if p.squeezed {
			p.width = room
		}
		d.widest = math.Max(d.widest, p.width)
		d.lines = append(d.lines, p)
		d.at += 1.6 * d.letters
	}
}

// rule begins another language.
func (d *signDrawing) rule() {
	d.rules = append(d.rules, d.at+0.05*d.letters)
	d.at += 0.8 * d.letters
}

// finish writes the drawing; what stands above the frame takes some room.
func (d *signDrawing) finish(s *sign, above float64) {
	width := math.Max(signNarrowest, math.Min(signWidest, d.widest*1.04+2*d.pad))
	height := d.at - 0.6*d.letters + 2*d.pad
	s.Width, s.Height = number(width), number(above+height)
	s.Top, s.FrameHeight = number(above), number(height)
	s.InnerTop, s.InnerWidth, s.InnerHeight = number(above+1.2), number(width-2.4), number(height-2.4)
	if s.Round != nil {
		s.Round.X = number(width / 2)
	}
	for _, y := range d.rules {
		s.Rules = append(s.Rules, "M"+number(d.pad)+" "+number(above+d.pad+y)+"H"+number(width-d.pad))
	}
	for _, l := range d.lines {
		t := signText{X: number(d.pad), Y: number(above + d.pad + l.y), Size: number(d.size()), Lang: l.tag, Text: l.text, Bold: l.bold}
		if l.squeezed {
			t.Length = number(l.width)
		}
		s.Texts = append(s.Texts, t)
	}
}

// broken breaks a text at spaces into lines no wider than room, in sizes of the
// letters.
func broken(text string, room float64, bold bool) []string {
	var out []string
	line := ""
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		switch longer := strings.TrimPrefix(line+" "+word, " "); {
		case line == "" || widthOf(longer, bold) <= room:
			line = longer
		default:
			out, line = append(out, line), word
		}
	}
	return append(out, line)
}

// widthOf estimates the width of a text in sizes of its letters, on the wide side
// for the usual sans-serif faces.
func widthOf(text string, bold bool) float64 {
	width := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("ijlI.,:;'|!()[]", r):
			width += 0.3
		case strings.ContainsRune("frt -/\u00a0", r):
			width += 0.36
		case strings.ContainsRune("mwMW@%", r):
			width += 0.9
		case unicode.IsUpper(r):
			width += 0.72
		default:
			width += 0.56
		}
	}
	if bold {
		width *= 1.07
	}
	return width
}
