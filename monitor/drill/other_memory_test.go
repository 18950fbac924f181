package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
)

const (
	memorySticks = "channels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"
	memoryMotor  = "  3: {name: throttle, kind: throttle, cut: 988, full: 2012}\n"
	memoryKnob   = "channels:\n  1: {name: aid, kind: switch, positions: {first: 988, second: 2012}}\n"
	refuses      = "failsafe: {flag: optional, within: 1s, other_memory: refused}\n"
)

// The drill of another memory is there where the sheet says that such are refused, and speaks of no throttle that there is not.
func TestOtherMemoryPlan(t *testing.T) {
	assert.NotContains(t, names(small(t, memorySticks)), drill.OtherMemory)
	assert.NotContains(t, names(small(t, memorySticks+strings.Replace(refuses, "refused", "heard", 1))), drill.OtherMemory)
	assert.NotContains(t, names(small(t, memoryKnob+refuses)), drill.OtherMemory)

	glider := prompts(t, small(t, memorySticks+refuses), drill.OtherMemory)
	assert.NotContains(t, strings.Join(glider, "\n"), "throttle")
	s := small(t, memorySticks+memoryMotor+refuses)
	got := prompts(t, s, drill.OtherMemory)
	require.Len(t, got, 6)
	assert.Equal(t, "other-memory/home: throttle at cut, its cut on where there is one; let go of all sticks", got[0])
	assert.Contains(t, got[3], "move every stick to its stops, the throttle last, and flip every switch")
	assert.Contains(t, got[5], "aileron")

	p, _ := drill.Find(drill.Plans(s), drill.OtherMemory)
	assert.True(t, p.Memory)
	assert.False(t, p.Again(), "what a receiver did is not taken back")
	assert.True(t, p.Prompts[1].InWords())
	all := strings.Join(p.Cautions, "\n")
	assert.Contains(t, all, "may start the motor at once")
	assert.Contains(t, all, "drive can't run")
}

// Whoever says that any memory is heard is told what that means.
func TestAnyMemoryIsDoubted(t *testing.T) {
	_, doubts, err := sheet.ReadNew("sheet", []byte("sheet: 1\nmodel: M\n"+memorySticks+strings.Replace(refuses, "refused", "heard", 1)))
	require.NoError(t, err)
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Text, "any model memory that is selected in the transmitter moves this model")
}

// A model without a throttle is told of none in the drills that it has.
func TestAGliderIsToldOfNoThrottle(t *testing.T) {
	s := small(t, "taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}\n"+memorySticks+refuses+
		"outputs:\n  1: {surface: aileron, moved_by: {aileron: 1.0}, corrects: [roll]}\n"+
		"soak: {receiver_supply: its pack}\nlevelling: {starts: go, sides: [flat], rests: 5s, still_after_power_up: 4s}\n")
	for _, p := range drill.Plans(s) {
		if p.Name == drill.Ends { // its purpose is of all models
			continue
		}
		said := p.Purpose + strings.Join(p.Cautions, " ")
		for _, q := range p.Prompts {
			said += q.Text
		}
		for _, never := range []string{"throttle at", "the throttle stays", "but the throttle", "raise the throttle", "its throttle"} {
			assert.NotContains(t, said, never, p.Name)
		}
	}
}
