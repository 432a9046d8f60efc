package report

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// evidenceByAddress finds which pieces of evidence show which values.
func (h *htmlJob) evidenceByAddress() map[string][]*fact.Instance {
	out := map[string][]*fact.Instance{}
	l := h.job.Result.Facts.Shape.Leaf("evidence.shows")
	if l == nil {
		return out
	}
	for _, in := range h.entries("evidence") {
		v := in.Get(l)
		if v.More == nil {
			continue
		}
		for i := range v.More.List {
			address := v.More.List[i].Text
			out[address] = append(out[address], in)
		}
	}
	return out
}

// evidenceOf describes what shows a value: pieces that name it, or an entry or block
// around it.
func (h *htmlJob) evidenceOf(address string) string {
	var pieces []string
	for at := address; at != ""; {
		for _, in := range h.evidence[at] {
			text := in.Key
			for _, field := range []string{"kind", "on", "file"} {
				if l := h.job.Result.Facts.Shape.Leaf("evidence." + field); l != nil {
					if v := in.Get(l); v.State == fact.Known {
						text += ", " + v.Written
					}
				}
			}
			if !slices.Contains(pieces, text) {
				pieces = append(pieces, text)
			}
		}
		cut := strings.LastIndexByte(at, '.')
		if cut < 0 {
			break
		}
		at = at[:cut]
	}
	return strings.Join(pieces, "; ")
}

// evidenceLine says what shows the value.
func (h *htmlJob) evidenceLine(m *markup, s slot) {
	if s.of == nil || s.leaf == nil || s.of.Scope.List.IsElsewhere() {
		return
	}
	text := h.evidenceOf(s.of.AddressOf(s.leaf))
	if text == "" {
		text = "none is recorded"
	}
	m.element("dt", "evidence").element("dd", text).own("\n")
}
