package fact

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseDue(t *testing.T) {
	for text, want := range map[string]Due{
		"never": {}, "designed": {At: AtDesign}, "energise": {At: GateEnergise}, "handed-over +30d": {At: AtHandOver, Days: 30},
	} {
		got, err := ParseDue(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
		assert.Equal(t, text, got.String())
	}
	for _, text := range []string{"", "soon", "designed +", "designed +0d", "designed +x", "designed -3d", "never +3d", "designed +99999d"} {
		_, err := ParseDue(text)
		assert.Error(t, err, text)
	}
}

// What is due at a stage is open before the first gate at or after it.
func TestGateOfAMoment(t *testing.T) {
	for m, want := range map[Moment]Moment{
		AtSurvey: GateStartWork, AtDesign: GateStartWork, AtContract: GateStartWork, AtPermit: GateStartWork, AtDelivery: GateStartWork,
		GateStartWork: GateStartWork, AtInstallation: GateEnergise, GateEnergise: GateEnergise, AtEnergising: GateHandOver, GateHandOver: GateHandOver,
	} {
		got, ok := m.Gate()
		assert.True(t, ok, m)
		assert.Equal(t, want, got, m)
	}
	for _, m := range []Moment{Never, AtHandOver, AtCompletion, AtService} {
		_, ok := m.Gate()
		assert.False(t, ok, m)
	}
}

// A gate is passed by the stage behind it, not by the one before it.
func TestGatesPassed(t *testing.T) {
	for stage, want := range map[Stage]int{Surveyed: 0, Designed: 0, Delivered: 0, Installed: 1, Energised: 2, HandedOver: 3, InService: 3} {
		passed := 0
		for _, g := range Gates() {
			assert.True(t, g.IsGate())
			if g.Passed(stage) {
				passed++
			}
		}
		assert.Equal(t, want, passed, stage.String())
	}
	assert.False(t, Never.Passed(InService))
}

func TestStagesAndMomentsReadBack(t *testing.T) {
	for _, n := range StageNames() {
		s, ok := ParseStage(n)
		assert.True(t, ok)
		assert.Equal(t, n, s.String())
		assert.Equal(t, n, s.Moment().String(), "a stage and its moment have one word")
	}
	for _, n := range MomentNames() {
		m, ok := ParseMoment(n)
		assert.True(t, ok)
		assert.Equal(t, n, m.String())
	}
	_, ok := ParseStage("")
	assert.False(t, ok)
}

func TestLater(t *testing.T) {
	assert.Equal(t, Due{At: AtDesign}, Due{}.Later(Due{At: AtDesign}))
	assert.Equal(t, Due{At: AtDesign}, Due{At: AtDesign}.Later(Due{}))
	assert.Equal(t, Due{At: AtHandOver, Days: 3}, Due{At: AtHandOver}.Later(Due{At: AtHandOver, Days: 3}))
}

func TestDays(t *testing.T) {
	d, ok := ParseDay("2024-02-29")
	require.True(t, ok)
	assert.Equal(t, "2024-02-29", d.String())
	for _, bad := range []string{"2023-02-29", "2023-13-01", "23-01-01", "2023-1-1", "", "yesterday", "2023-01-01T00:00"} {
		_, ok := ParseDay(bad)
		assert.False(t, ok, bad)
	}
	zone := time.FixedZone("east", 10*3600)
	assert.Equal(t, "2026-03-12", DayOf(time.Date(2026, 3, 11, 20, 0, 0, 0, time.UTC).In(zone)).String())
	assert.Equal(t, "", NoDay.String())
}
