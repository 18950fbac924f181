package account_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// seconds writes an instant in whole seconds.
func seconds(t unit.Time) string { return fmt.Sprintf("%d s", t/unit.Time(unit.Second)) }

func (r *rig) port(kind event.InputKind) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Kind: kind, Tap: 1}, &r.v, r.emit)
}

func TestWhenThePortWasAway(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(100*unit.Second, 100, 0)
	for i := range 22 {
		r.port(event.InputTapDown)
		r.goOn(unit.Duration(i+1)*unit.Second, 0, 0)
		r.port(event.InputTapUp)
		r.linked(true)
		r.goOn(10*unit.Second, 100, 0)
	}
	tap := r.shown().Taps[0]
	assert.EqualValues(t, 22, tap.Unplugs)
	require.Len(t, tap.Away, 20, "the latest")
	assert.Equal(t, 3*unit.Second, tap.Away[0].BackNS.Sub(tap.Away[0].FromNS))
	happened := strings.Join(account.Happened(r.shown(), seconds), "\n")
	assert.Contains(t, happened, "main: the port went away: the latest 5 of 22: 423 s, back after 18.00 s; 451 s, ")
	assert.Contains(t, happened, "541 s, back after 22.00 s")

	r.port(event.InputTapDown)
	r.goOn(5*unit.Second, 0, 0)
	tap = r.shown().Taps[0]
	assert.Equal(t, state.PortAway{FromNS: r.now.Add(-5 * unit.Second), BackNS: -1}, tap.Away[19])
	assert.Contains(t, strings.Join(account.Happened(r.shown(), seconds), "\n"), "573 s, and is not back")

	r.now = r.now.Add(hour)
	r.see(event.InputResume, nil)
	r.now = r.now.Add(unit.Second)
	r.port(event.InputTapUp)
	away := r.shown().Taps[0].Away
	assert.Equal(t, hour+6*unit.Second, away[19].BackNS.Sub(away[19].FromNS), "it was away all the while")
}

func TestWhenNobodyListened(t *testing.T) {
	r := newRig(t, plain, "")
	assert.NotContains(t, strings.Join(account.Watched(r.shown(), seconds), "\n"), "not watched")
	r.goOn(10*unit.Second, 100, 0)
	r.now = r.now.Add(90 * unit.Second) // asleep
	r.goOn(10*unit.Second, 100, 0)
	r.now = r.now.Add(2 * hour)
	r.see(event.InputResume, nil)
	r.linked(true)
	r.goOn(10*unit.Second, 100, 0)
	r.see(event.InputRecordingGap, []byte(`{"ended":false}`))
	r.now = r.now.Add(unit.Minute)
	r.see(event.InputRecordingGap, []byte(`{"ended":true}`))
	r.goOn(unit.Second, 100, 0)
	s := r.shown()
	assert.Equal(t, []state.SoakBreak{
		{FromNS: at(10), ToNS: at(101), Why: "stalled"}, {FromNS: at(110), ToNS: at(7310), Why: "stopped"}, {FromNS: at(7320), ToNS: at(7380), Why: "unrecorded"},
	}, s.Breaks)
	for i, d := range []unit.Duration{s.StalledNS, s.StoppedNS, s.UnrecordedNS} {
		assert.Equal(t, d, s.Breaks[i].ToNS.Sub(s.Breaks[i].FromNS))
	}
	assert.Contains(t, strings.Join(account.Watched(s, seconds), "\n"), "not watched for 2 h 2 min: 10 s for 1 min (the computer stood still); "+
		"110 s for 2 h (the program was stopped); 7320 s for 1 min (it was not recorded)")
}

func at(seconds int64) unit.Time { return unit.Time(seconds * int64(unit.Second)) }

func TestWhenTheClockWasSet(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(10*unit.Second, 100, 0)
	for i, step := range []unit.Duration{hour, -2 * hour} {
		r.a.Hear(&event.Event{At: r.now, From: at(int64(i + 5)), Kind: event.ClockStepped, Data: event.ClockData{StepNS: step}}, &r.v, r.emit)
	}
	s := r.shown()
	assert.EqualValues(t, 2, s.ClockSteps)
	assert.Equal(t, []state.ClockStep{{AtNS: at(5), StepNS: hour}, {AtNS: at(6), StepNS: -2 * hour}}, s.Clock)
	assert.Contains(t, strings.Join(account.Happened(s, seconds), "\n"), "the computer's clock was set: 5 s, forward by ")
	assert.Contains(t, strings.Join(account.Happened(s, seconds), "\n"), "; 6 s, back by ")
	assert.Contains(t, strings.Join(account.Happened(s, seconds), "\n"), "dates here go on by the clock as it was when the session began")
}
