package pages

import (
	"math"
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
)

// sketch is the plan of the site, drawn from the recorded geometry. Lengths of
// the drawing are millimetres on paper, counted from its upper left corner.
type sketch struct {
	Title         string
	Width, Height string
	Areas         []area
	Crosses       []string
	Labels        []label
	Units         []mark
	Shutdowns     []mark
	Bar           string
	BarX, BarY    string
	BarText       string
	Legend        []pair
	Words         []string // what could not be drawn
	Remark        string
}

type area struct{ X, Y, W, H string }

type label struct{ X, Y, Text string }

type mark struct{ X, Y, TX, TY, CY, Text string }

// The paper that a sketch may take, and the room around what is drawn.
const (
	sketchWidth  = 105.0
	sketchHeight = 44.0
	sketchLeast  = 50.0
	sketchMargin = 6.0
	barRoom      = 8.0
)

// spot is one thing with a recorded place, in metres from the origin of the sketch.
type spot struct {
	x, y, width, depth float64
	sized              bool
}

// siteSketch shows where things are: drawn, as far as places are recorded in
// metres, the rest in words. Nothing is drawn that is not recorded.
func (w *writer) siteSketch() section {
	s := section{Heading: w.T("sketch.heading")}
	d := &drawing{w: w}
	d.collect()
	if len(d.drawn) > 0 {
		s.Sketch = d.draw()
		s.Sketch.Words = d.words
		return s
	}
	s.Lead, s.Items = []string{w.T("sketch.none")}, d.words
	return s
}

// drawing gathers what can be drawn, and words for what cannot.
type drawing struct {
	w     *writer
	drawn []drawnSpot
	words []string
}

type drawnSpot struct {
	spot
	kind   byte // 'L' location, 'U' unit, 'S' shutdown initiator
	legend cell
}

// collect takes locations first, so that they get the first numbers.
func (d *drawing) collect() {
	w := d.w
	locations := w.entries("locations")
	for _, l := range locations {
		about := cell{Text: w.show(l.Key), Note: w.value(l, "locations.setting").Text}
		at, ok := w.spot(l, "locations.plan.x", "locations.plan.y")
		if !ok {
			d.words = append(d.words, w.T("sketch.location", "Location", about.Text, "Setting", about.Note))
			continue
		}
		width, okW := w.metres(l, "locations.plan.width")
		depth, okD := w.metres(l, "locations.plan.depth")
		if at.sized = okW && okD && width > 0 && depth > 0; at.sized {
			at.width, at.depth = width, depth
		} else {
			about.Note += ", " + w.T("sketch.no-size")
		}
		d.drawn = append(d.drawn, drawnSpot{at, 'L', about})
	}
	if len(locations) == 0 {
		d.words = append(d.words, w.T("sketch.no-locations"))
	}
	for _, u := range w.entries("units") {
		if at, ok := w.spot(u, "units.plan.x", "units.plan.y"); ok {
			d.drawn = append(d.drawn, drawnSpot{at, 'U', cell{Text: w.T("sketch.unit", "Unit", w.show(u.Key))}})
			continue
		}
		d.words = append(d.words, w.T("sketch.unit-somewhere", "Unit", w.show(u.Key), "Location", w.location(u, "units.location").Text))
	}
	for _, s := range w.entries("supply.shutdown") {
		place := w.value(s, "supply.shutdown.place").Text
		if at, ok := w.spot(s, "supply.shutdown.plan.x", "supply.shutdown.plan.y"); ok {
			d.drawn = append(d.drawn, drawnSpot{at, 'S', cell{Text: w.T("sketch.shutdown", "Initiator", w.show(s.Key)), Note: place}})
			continue
		}
		d.words = append(d.words, w.T("sketch.shutdown-somewhere", "Initiator", w.show(s.Key), "Place", place))
	}
}

// spot reads a place of the sketch.
func (w *writer) spot(in *fact.Instance, x, y string) (at spot, ok bool) {
	var okX, okY bool
	at.x, okX = w.metres(in, x)
	at.y, okY = w.metres(in, y)
	return at, okX && okY
}

func (w *writer) metres(in *fact.Instance, path string) (float64, bool) {
	v, l, _ := w.find(in, path)
	if v == nil || v.State != fact.Known {
		return 0, false
	}
	m := v.Quantity.In(l.Of)
	return m, !math.IsNaN(m) && math.Abs(m) < 1e5 // farther than any property reaches is a slip of the pen
}

// draw lays the recorded places out on paper.
func (d *drawing) draw() *sketch {
	low, high := spot{x: math.Inf(1), y: math.Inf(1)}, spot{x: math.Inf(-1), y: math.Inf(-1)}
	for _, s := range d.drawn {
		low.x, low.y = math.Min(low.x, s.x), math.Min(low.y, s.y)
		high.x, high.y = math.Max(high.x, s.x+s.width), math.Max(high.y, s.y+s.depth)
	}
	across, up := math.Max(high.x-low.x, 1), math.Max(high.y-low.y, 1)
	scale := math.Min((sketchWidth-2*sketchMargin)/across, (sketchHeight-2*sketchMargin)/up)
	height := up*scale + 2*sketchMargin
	width := math.Max(across*scale+2*sketchMargin, sketchLeast)
	s := &sketch{Title: d.w.T("sketch.heading"), Width: number(width), Height: number(height + barRoom), Remark: d.w.T("sketch.remark")}
	left := (width - across*scale) / 2
	x := func(m float64) float64 { return left + (m-low.x)*scale }
	y := func(m float64) float64 { return height - sketchMargin - (m-low.y)*scale }
	for i, one := range d.drawn {
		name := strconv.Itoa(i + 1)
		px, py := x(one.x), y(one.y)
		switch {
		case one.kind == 'L' && one.sized:
			s.Areas = append(s.Areas, area{number(px), number(y(one.y + one.depth)), number(one.width * scale), number(one.depth * scale)})
			s.Labels = append(s.Labels, label{number(px + 1.2), number(y(one.y+one.depth) + 4), name})
		case one.kind == 'L':
			s.Crosses = append(s.Crosses, "M"+number(px-2)+" "+number(py)+"h4M"+number(px)+" "+number(py-2)+"v4")
			s.Labels = append(s.Labels, label{number(px + 2.4), number(py - 1), name})
		case one.kind == 'U':
			s.Units = append(s.Units, mark{X: number(px - 2.5), Y: number(py - 2.5), TX: number(px), TY: number(py + 1.2), Text: name})
		default:
			s.Shutdowns = append(s.Shutdowns, mark{TX: number(px), TY: number(py + 1.2), CY: number(py), Text: name})
		}
		s.Legend = append(s.Legend, pair{name, one.legend})
	}
	d.bar(s, scale, width, height)
	return s
}

// bar draws the scale: a round number of metres that takes a third of the width at
// most.
func (d *drawing) bar(s *sketch, scale, width, height float64) {
	length := 0.1
	for _, m := range []float64{0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000} {
		if m*scale <= width/3 {
			length = m
		}
	}
	s.Bar = "M" + number(sketchMargin) + " " + number(height+2) + "v3h" + number(length*scale) + "v-3"
	s.BarX, s.BarY = number(sketchMargin+length*scale+2), number(height+5)
	s.BarText = d.w.decimal(number(length)) + "\u00a0m"
}

// number writes a length of a drawing with two decimals at most.
func number(x float64) string {
	text := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}
