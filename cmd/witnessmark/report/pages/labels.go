package pages

import (
	"math"

	"witnessmark.example/checks/fact"
)

// labels is the sheet of labels and signs of the job. It is one for all languages
// of the site, since a label holds all of them.
func labels(w *writer) page {
	s := section{Heading: w.T("labels.heading"), Ruler: w.T("labels.ruler")}
	for _, l := range w.entries("labels") {
		s.Signs = append(s.Signs, w.sign(l))
	}
	if len(s.Signs) == 0 {
		return page{Sections: []section{{Heading: s.Heading, Lead: []string{w.T("labels.none")}}}}
	}
	s.Lead = []string{w.T("labels.lead"), w.T("labels.blank.about")}
	return page{Sections: []section{s}}
}

// sign is one label as it is drawn. Lengths are millimetres.
type sign struct {
	Title                             string
	Width, Height                     string
	Top, FrameHeight                  string // of the plate below a round sign
	InnerTop, InnerWidth, InnerHeight string // of the line around the text
	Round                             *circle
	Rules                             []string
	Texts                             []signText
	Fill, Ink                         string
	About                             []pair
}

type circle struct{ X, Y, R string }

type signText struct {
	X, Y, Size, Lang, Text string
	Bold                   bool
	Length                 string // squeezed to this width; empty for as wide as it is
}

// Letters are drawn as high as recorded, as far as the sheet has room for them.
const (
	lettersUsual    = 5.0  // where no height is recorded
	lettersSmallest = 2.0  // below this nobody reads them
	lettersLargest  = 60.0 // above this no word fits on the sheet
	signWidest      = 180.0
	signNarrowest   = 60.0
	capitalHeight   = 0.716 // height of a capital in the size of the letters, for common sans-serif faces; from memory
)

// sign draws one label, with what is recorded of it beside.
func (w *writer) sign(l *fact.Instance) sign {
	s := sign{Title: w.value(l, "labels.says").Text, About: w.aboutSign(l)}
	s.Fill, s.Ink = w.colours(l)
	letters, note := w.letters(l)
	if note != "" {
		s.About = append(s.About, pair{w.T("labels.note"), cell{Text: note}})
	}
	d := &signDrawing{letters: letters, pad: math.Max(4, 0.6*letters)}
	if v, _, _ := w.find(l, "labels.says"); v != nil && v.State == fact.Known {
		for i, t := range w.signTongues(l) {
			if i > 0 {
				d.rule()
			}
			in := *w // a copy that counts for itself: a value is missing once, not in every language
			in.tongue = t
			for _, line := range in.signLines(v.Text) {
				d.line(t.tag, line)
			}
			if i == 0 {
				w.unknown = in.unknown
			}
		}
	} else {
		d.line(w.tag, signLine{text: w.T("labels.blank")})
	}
	top := 0.0
	if across, ok := w.millimetres(l, "labels.diameter"); ok && across > 0 {
		across = math.Min(across, signWidest-2)
		top = across + 3
		d.widest = math.Max(d.widest, across+2-2*d.pad)
		s.Round = &circle{Y: number(across/2 + 1), R: number(across/2 - 0.5)}
		s.About = append(s.About, pair{w.T("labels.note"), cell{Text: w.T("labels.round")}})
	}
	d.finish(&s, top)
	return s
}

// aboutSign is what is recorded of a label.
func (w *writer) aboutSign(l *fact.Instance) []pair {
	fitted := w.value(l, "labels.fitted")
	if v, _, _ := w.find(l, "labels.fitted"); v != nil && v.State == fact.Known && !v.Truth {
		fitted.Strong = true
	}
	about := []pair{
		{w.T("labels.key"), cell{Text: w.show(l.Key)}},
		{w.T("labels.says"), w.value(l, "labels.says")},
		{w.T("labels.place"), w.value(l, "labels.place")},
		{w.T("labels.letters"), w.value(l, "labels.letters")},
		{w.T("labels.colours"), w.value(l, "labels.colours")},
		{w.T("labels.language"), w.languageOf(l)},
		{w.T("labels.fitted"), fitted},
	}
	if v, leaf, _ := w.find(l, "labels.diameter"); v != nil {
		about = append(about, pair{w.T("labels.diameter"), w.one(v, leaf)})
	}
	return about
}

// languageOf shows the code of the language of a label, and says so where the
// label cannot be written in it.
func (w *writer) languageOf(l *fact.Instance) cell {
	c := w.value(l, "labels.language")
	if v, _, _ := w.find(l, "labels.language"); v != nil && v.State == fact.Known && tongues[v.Text] == nil {
		c.Note = w.T("language.not-offered", "Code", c.Text)
	}
	return c
}

// colours of a label. What is not recorded, and what has other colours, is drawn
// black on white; the words beside it say which.
func (w *writer) colours(l *fact.Instance) (fill, ink string) {
	v, _, _ := w.find(l, "labels.colours")
	if v != nil {
		switch v.Text {
		case "white on red":
			return "#b00016", "#ffffff"
		case "black on yellow":
			return "#ffd500", "#000000"
		}
	}
	return "#ffffff", "#000000"
}

// letters is the height that the letters of a label are drawn at, with a remark
// where that is not the recorded one.
func (w *writer) letters(l *fact.Instance) (height float64, note string) {
	recorded, ok := w.millimetres(l, "labels.letters")
	switch {
	case !ok:
		return lettersUsual, w.T("labels.letters.none", "Value", w.decimal(number(lettersUsual)))
	case recorded > lettersLargest:
		return lettersLargest, w.T("labels.letters.other", "Value", w.decimal(number(lettersLargest)))
	case recorded < lettersSmallest:
		return lettersSmallest, w.T("labels.letters.other", "Value", w.decimal(number(lettersSmallest)))
	}
	return recorded, ""
}

func (w *writer) millimetres(in *fact.Instance, path string) (float64, bool) {
	v, l, _ := w.find(in, path)
	if v == nil || v.State != fact.Known {
		return 0, false
	}
	mm := v.Quantity.In(l.Of)
	return mm, !math.IsNaN(mm) && !math.IsInf(mm, 0)
}

// signTongues lists the languages of a label: its own first, then those of the
// site.
func (w *writer) signTongues(l *fact.Instance) []*tongue {
	var out []*tongue
	seen := map[string]bool{}
	add := func(t *tongue) {
		if t != nil && !seen[t.tag] {
			seen[t.tag] = true
			out = append(out, t)
		}
	}
	if v, _, _ := w.find(l, "labels.language"); v != nil && v.State == fact.Known {
		own := tongues[v.Text]
		for _, s := range w.site {
			if v.Text == english && s.tag == american {
				own = s.tongue
			}
		}
		add(own)
	}
	for _, s := range w.site {
		add(s.tongue)
	}
	return out
}
