package fact

import (
	"fmt"
	"strconv"
	"strings"
)

// Stage is what is true on site. The zero value means no stage is known.
type Stage uint8

// Moment is one point on the time line of a job: a stage, a gate or a dated
// event. Moments are ordered; the zero value is before everything.
type Moment uint8

// The stages of a job, in order.
const (
	NoStage Stage = iota
	Surveyed
	Designed
	Delivered
	Installed
	Energised
	HandedOver
	InService
)

// The time line. Gates are passed between stages: what is due at a stage is
// open before the first gate at or after it.
const (
	Never Moment = iota
	AtSurvey
	AtDesign
	AtContract
	AtPermit
	AtDelivery
	GateStartWork
	AtInstallation
	GateEnergise
	AtEnergising
	GateHandOver
	AtHandOver
	AtCompletion
	AtService
)

var stageNames = [...]string{"", "surveyed", "designed", "delivered", "installed", "energised", "handed-over", "in-service"}

var stageMoments = [...]Moment{Never, AtSurvey, AtDesign, AtDelivery, AtInstallation, AtEnergising, AtHandOver, AtService}

var momentNames = [...]string{"never", "surveyed", "designed", "contract", "permit", "delivered", "start-work",
	"installed", "energise", "energised", "hand-over", "handed-over", "completed", "in-service"}

// String returns the stage as written in a job file.
func (s Stage) String() string { return stageNames[s] }

// Moment returns the stage's place on the time line.
func (s Stage) Moment() Moment { return stageMoments[s] }

// StageNames lists the stages in order, as written.
func StageNames() []string { return append([]string(nil), stageNames[1:]...) }

// ParseStage reads a stage as written in a job file.
func ParseStage(text string) (Stage, bool) {
	for i, n := range stageNames {
		if i > 0 && n == text {
			return Stage(i), true
		}
	}
	return NoStage, false
}

// String returns the moment's word, which is also the key of its date.
func (m Moment) String() string { return momentNames[m] }

// IsGate tells whether the moment is a gate.
func (m Moment) IsGate() bool {
	return m == GateStartWork || m == GateEnergise || m == GateHandOver
}

// Gates lists the gates in order.
func Gates() []Moment { return []Moment{GateStartWork, GateEnergise, GateHandOver} }

// Passed tells whether a job at the stage has gone through the gate, or beyond
// the dated event.
func (m Moment) Passed(s Stage) bool { return m != Never && s.Moment() >= m }

// Gate returns the first gate at or after the moment; ok is false for what
// falls due only after the last gate.
func (m Moment) Gate() (gate Moment, ok bool) {
	for _, g := range Gates() {
		if m <= g {
			return g, m != Never
		}
	}
	return Never, false
}

// ParseMoment reads the word of a stage, gate or dated event.
func ParseMoment(text string) (Moment, bool) {
	for i, n := range momentNames {
		if n == text {
			return Moment(i), true
		}
	}
	return Never, false
}

// MomentNames lists every word of the time line in order.
func MomentNames() []string { return append([]string(nil), momentNames[1:]...) }

// Due says when a fact must be recorded: at a moment, or some days after its
// date. At Never the fact is optional.
type Due struct {
	At   Moment `json:"at"`
	Days int    `json:"days,omitempty"`
}

// ParseDue reads `energise` or `handed-over +30d`.
func ParseDue(text string) (Due, error) {
	word, rest, more := strings.Cut(strings.TrimSpace(text), " ")
	m, ok := ParseMoment(word)
	if !ok {
		return Due{}, fmt.Errorf("%q is no stage, gate or event; use one of %s", word, strings.Join(momentNames[:], ", "))
	}
	if !more {
		return Due{At: m}, nil
	}
	days, err := strconv.Atoi(strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(rest), "+"), "d"))
	if err != nil || days <= 0 || days > 3650 || m == Never {
		return Due{}, fmt.Errorf("%q is no delay; write it as +30d", rest)
	}
	return Due{At: m, Days: days}, nil
}

// String writes the due date as it is read.
func (d Due) String() string {
	if d.Days == 0 {
		return d.At.String()
	}
	return d.At.String() + " +" + strconv.Itoa(d.Days) + "d"
}

// Later returns the later of two due dates. A fact that is never due does not
// make another later.
func (d Due) Later(o Due) Due {
	if o.At > d.At || o.At == d.At && o.Days > d.Days {
		return o
	}
	return d
}
