package report

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"fmt"
	"strconv"
	"strings"
)

// keptJobs are the parts of the jobs' sections until the page can be written. Memory
// and file stay within bounds: as they grow, first what stands under the headings is
// packed, then the values that nobody has to look at are left out.
type keptJobs struct {
	plain, whole int  // sizes up to which the page is plain, and up to which values are there at all
	asked        bool // only findings were asked for
	findingsOnly bool // only findings are kept

	jobs   []keptJob
	size   int // of all that is kept, as it will be written
	packed bool
	// What is packed: what somebody has to look at, and every value.
	findings, values packer
}

// keptJob is one job's section. What is packed is empty, and its place says where it
// is.
type keptJob struct {
	anchor, row, opening, findings, values, closing []byte
	findingsAt, valuesAt                            packedPlace
}

// packedPlace is a part of a block.
type packedPlace struct{ block, part int }

func (k *keptJobs) add(parts [6][]byte) error {
	j := keptJob{anchor: bytes.Clone(parts[0]), row: bytes.Clone(parts[1]), opening: bytes.Clone(parts[2]), findings: bytes.Clone(parts[3]), closing: bytes.Clone(parts[5])}
	if !k.findingsOnly {
		j.values = bytes.Clone(parts[4])
	}
	k.size += len(j.row) + len(j.opening) + len(j.findings) + len(j.values) + len(j.closing)
	k.jobs = append(k.jobs, j)
	switch {
	case k.packed:
		return k.pack(len(k.jobs) - 1)
	case k.size > k.plain:
		k.packed = true
		for i := range k.jobs {
			if err := k.pack(i); err != nil {
				return err
			}
		}
	}
	return nil
}

// pack packs one job that was plain so far.
func (k *keptJobs) pack(i int) error {
	j := &k.jobs[i]
	k.size -= len(j.findings) + len(j.values) + len(j.closing)
	before := k.findings.size + k.values.size
	var err error
	if j.findingsAt, err = k.findings.add(append(j.findings, j.closing...)); err != nil {
		return err
	}
	if !k.findingsOnly {
		if j.valuesAt, err = k.values.add(j.values); err != nil {
			return err
		}
	}
	j.findings, j.values, j.closing = nil, nil, nil
	k.size += k.findings.size + k.values.size - before
	k.bound()
	return nil
}

// flush packs what waits.
func (k *keptJobs) flush() error {
	before := k.findings.size + k.values.size
	if err := k.findings.flush(); err != nil {
		return err
	}
	if err := k.values.flush(); err != nil {
		return err
	}
	k.size += k.findings.size + k.values.size - before
	k.bound()
	return nil
}

// bound gives up the values where the page would become larger than a browser and a
// mailbox take well.
func (k *keptJobs) bound() {
	if k.size <= k.whole || k.findingsOnly {
		return
	}
	k.findingsOnly = true
	k.size -= k.values.size
	k.values = packer{}
}

// packer packs parts into blocks, so many together that the likeness of jobs pays, and
// so few that a page opens a block at once. Jobs say nearly the same, line by line, and
// too far apart for deflating to notice. So each line is told from those before: how
// many lines came as expected, which means as the last time in the same place; how many
// as the last time behind the same line; else the number of a line that the block has
// already; else the line itself. What the page does to read it stands in html.js.
type packer struct {
	blocks []string // deflated, in base64
	size   int

	room  []byte // waits to be packed
	parts int    // that wait
	lines map[string]int
	after map[string]int // the line to expect, by the place
	next  map[int]int    // the same, by the line before
}

// Marks at the beginning of a line, which no text brings in.
const (
	packSize     = 3 << 20
	expectedMark = '\x02' // before how many lines came as expected in their place
	nextMark     = '\x04' // before how many came as expected behind the line before
	knownMark    = '\x03' // before the number of a line
	partMark     = '\x00' // behind a part
)

func (p *packer) add(part []byte) (packedPlace, error) {
	at := packedPlace{len(p.blocks), p.parts}
	if p.lines == nil {
		p.lines, p.after, p.next = map[string]int{}, map[string]int{}, map[int]int{}
	}
	place, last := "", -1
	var mark byte
	hits := 0
	end := func() {
		if hits > 0 {
			p.room = fmt.Appendf(p.room, "%c%d\n", mark, hits)
		}
		hits = 0
	}
	for line := range bytes.Lines(part) {
		n, known := p.lines[string(line)]
		expected, placed := p.after[place]
		behind, followed := p.next[last]
		how := byte(0)
		switch {
		case known && placed && expected == n:
			how = expectedMark
		case known && followed && behind == n:
			how = nextMark
		}
		if how != mark || how == 0 {
			end()
		}
		switch {
		case how != 0:
			hits++
		case known:
			p.room = fmt.Appendf(p.room, "%c%d\n", knownMark, n)
		default:
			n = len(p.lines)
			p.lines[string(line)] = n
			p.room = append(p.room, line...)
		}
		p.after[place], p.next[last] = n, n
		if how == 0 {
			place = afterOther(place)
		} else {
			place = strconv.Itoa(n)
		}
		mark, last = how, n
	}
	end()
	p.room, p.parts = append(p.room, partMark), p.parts+1
	if len(p.room) < packSize {
		return at, nil
	}
	return at, p.flush()
}

// afterOther is the place behind a line that was not expected: the last one that was,
// and how many came since, up to a few. What stands between two values that differ from
// job to job is expected all the same.
func afterOther(place string) string {
	const most = 4
	if strings.Count(place, "*") == most {
		return "*"
	}
	return place + "*"
}

func (p *packer) flush() error {
	if p.parts == 0 {
		return nil
	}
	block, err := packed(p.room)
	if err != nil {
		return err
	}
	p.blocks, p.size = append(p.blocks, block), p.size+len(block)
	p.room, p.parts = p.room[:0], 0
	clear(p.lines)
	clear(p.after)
	clear(p.next)
	return nil
}

// packed deflates text and writes it in letters.
func packed(text []byte) (string, error) {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err == nil {
		_, err = w.Write(text)
	}
	if err == nil {
		err = w.Close()
	}
	return base64.StdEncoding.EncodeToString(out.Bytes()), err
}
