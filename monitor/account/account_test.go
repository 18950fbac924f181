package account_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	hour  = 60 * unit.Minute
	plain = "sheet: 1\nmodel: m\nchannels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"
)

// rig is an account with a view that a test sets as watchers would: time goes on by beats.
type rig struct {
	t      *testing.T
	a      *account.Account
	v      base.View
	now    unit.Time
	events []event.Event
}

func newRig(t *testing.T, text, until string) *rig {
	s, err := sheet.Read("m.yaml", []byte(text))
	require.NoError(t, err)
	taps := []event.TapName{{Name: "main", Kind: "bus"}}
	if s.HasLeads() {
		taps = append(taps, event.TapName{Name: "leads", Kind: "pulses"})
	}
	r := &rig{t: t, a: account.New(s), v: base.NewView(s, taps)}
	base.NewCleaned(&r.v, 1)
	start, err := json.Marshal(event.Start{Taps: taps, Until: until})
	require.NoError(t, err)
	r.see(event.InputBegin, start)
	for i := range taps {
		r.a.See(&event.Observation{Kind: event.InputTapUp, Tap: uint8(i + 1)}, &r.v, r.emit)
	}
	r.linked(true)
	return r
}

func (r *rig) emit(kind string, from unit.Time, about string, data any) {
	r.events = append(r.events, event.Event{At: r.now, Kind: kind, From: from, About: about, Data: data})
}

func (r *rig) see(kind event.InputKind, data []byte) {
	o := event.Observation{At: r.now, Wire: r.now, Kind: kind, Data: data}
	if !r.a.Listened(&o) {
		r.a.Stood(o.At, &r.v)
	}
	r.a.See(&o, &r.v, r.emit)
}

// linked says whether the link lives, and has a frame show it.
func (r *rig) linked(up bool) {
	w := &r.v.Taps[1]
	w.Locked, w.Linked, w.Signal, w.Loss, w.LossAt = true, up, event.SignalLive, "", 0
	if !up {
		w.Signal, w.Loss, w.LossAt = event.SignalFailsafe, event.PhaseLost, r.now
	}
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: 1, Kind: event.FrameSeen, Frame: &bus.Frame{}}, &r.v, r.emit)
}

// goOn lets the time pass, with so many frames a second of which so many are missed.
func (r *rig) goOn(d unit.Duration, frames, missed int64) {
	for end := r.now.Add(d); r.now < end; {
		r.now = r.now.Add(unit.Second)
		w := &r.v.Taps[1].Tally
		w.LinkFrames += frames
		if missed > 0 {
			w.LinkMissed += missed
			w.LinkMissedRuns++
			r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: 1, Kind: event.FrameSeen, Frame: &bus.Frame{}}, &r.v, r.emit)
		}
		r.see(event.InputBeat, nil)
	}
}

// lose loses the signal for so long.
func (r *rig) lose(d unit.Duration) {
	r.linked(false)
	r.goOn(d, 0, 0)
	r.linked(true)
}

func (r *rig) shown() *state.Account {
	// What is kept is all there is: an account that comes from a checkpoint shows the same.
	raw, err := json.Marshal(r.a)
	require.NoError(r.t, err)
	again := account.New(r.v.Sheet)
	require.NoError(r.t, json.Unmarshal(raw, again))
	s := r.a.Show(&r.v)
	require.Equal(r.t, s, again.Show(&r.v))
	return s
}

func (r *rig) kinds() (list []string) {
	for _, e := range r.events {
		list = append(list, e.Kind)
	}
	return list
}

func TestAQuietRun(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(40*hour, 100, 0)
	s := r.shown()
	require.Len(t, s.Taps, 1)
	tap := s.Taps[0]
	assert.Equal(t, 40*hour-unit.Second, tap.LiveNS, "the piece up to the first beat is not known to be live")
	// 39.999 h / 3.788419 (SOAK, at no events, the bound that holds at every moment) is 10.56.
	assert.EqualValues(t, 10, tap.OneInHours)
	assert.EqualValues(t, 20, tap.NextHours)
	// 20 × 3.788419 h are 75 h 46 min 6.1 s.
	assert.Equal(t, 75*hour+46*unit.Minute+7*unit.Second-tap.LiveNS, tap.NextNS)
	// 50 and 100 × 3.788419 h are 189 h 25 min 15.4 s and 378 h 50 min 30.8 s.
	require.Len(t, tap.Ahead, 6)
	assert.Equal(t, state.SoakClaim{Hours: 20, RemainingNS: tap.NextNS}, tap.Ahead[0])
	assert.Equal(t, state.SoakClaim{Hours: 50, RemainingNS: 189*hour + 25*unit.Minute + 16*unit.Second - tap.LiveNS}, tap.Ahead[1])
	assert.Equal(t, []string{"main: 35 h 46 min more of a live link without an outage would prove: occasions no more often than once in 20 h; " +
		"149 h more: once in 50 h; 338 h more: once in 100 h"}, account.More(s, 2))
	assert.Empty(t, r.events, "no sheet with limits, no goal")
	assert.EqualValues(t, 40*3600*100, tap.Frames)
	assert.Len(t, tap.Strip, 41, "an hour each, and the border")
	assert.Equal(t, -1, tap.Worst)
	require.NotEmpty(t, s.Proven)
	assert.Contains(t, s.Proven[0], "No outage in 39 h")
	assert.Contains(t, s.Proven[0], "no more often than once in 10 h on average, 95 % sure")
	assert.Contains(t, s.NotProven[1], "the sheet has no heartbeat (a spare channel that always moves), so that could not have been seen")
}

func TestOutagesAndOccasions(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.lose(10 * unit.Second)
	r.goOn(10*unit.Minute, 100, 0)
	r.lose(3 * unit.Second)
	r.goOn(29*unit.Minute, 100, 0)
	r.lose(unit.Second)
	r.goOn(31*unit.Minute, 100, 0)
	r.lose(unit.Second)
	r.goOn(hour, 100, 0)
	tap := r.shown().Taps[0]
	assert.EqualValues(t, 4, tap.Outages)
	assert.EqualValues(t, 2, tap.Occasions, "31 minutes are between occasions, 29 are not")
	assert.Equal(t, 10*unit.Second, tap.LongestNS)
	assert.Equal(t, [4]int64{4, 0, 0, 0}, tap.Causes)
	assert.Equal(t, 15*unit.Second, tap.OutageNS)
	assert.Len(t, tap.Latest, 4)
	assert.Equal(t, unit.Time(hour), tap.Latest[0].FromNS)
	assert.Equal(t, 1, tap.Worst, "the hour with three of them")
	assert.EqualValues(t, 3, tap.Strip[1].Outages)
}

// Days on end cost no more than their first hours, and lose nothing.
func TestItStaysBounded(t *testing.T) {
	r := newRig(t, plain, "")
	size := func() int {
		raw, err := json.Marshal(r.a)
		require.NoError(t, err)
		return len(raw)
	}
	most := 0
	for range 80 {
		r.goOn(12*hour, 100, 1)
		r.lose(2 * unit.Second)
		most = max(most, size())
	}
	tap := r.shown().Taps[0]
	assert.Less(t, most, 40_000)
	assert.EqualValues(t, 80, tap.Outages)
	assert.EqualValues(t, 80, tap.Occasions)
	assert.Len(t, tap.Latest, 20)
	assert.Less(t, len(tap.Strip), 337)
	var frames, outages int64
	var live unit.Duration
	for _, h := range tap.Strip {
		frames, outages, live = frames+h.Frames, outages+h.Outages, live+h.LiveNS
	}
	assert.Equal(t, tap.Frames, frames)
	assert.Equal(t, tap.Outages, outages)
	assert.Equal(t, tap.LiveNS, live)
	require.NotNil(t, tap.Share)
	assert.EqualValues(t, 10_000, tap.Share.PPM, "one in a hundred")
	assert.Equal(t, tap.MissedRuns, tap.RunLengths[0])
	assert.EqualValues(t, 1, tap.LongestRun)
}

// Nobody listened: neither for nor against anything.
func TestNotWatched(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.now = r.now.Add(unit.Minute) // no beat came
	r.see(event.InputBeat, nil)
	r.goOn(hour, 100, 0)
	r.see(event.InputEnd, nil)
	r.now = r.now.Add(3 * hour)
	r.see(event.InputResume, nil)
	s := r.shown()
	assert.Equal(t, unit.Minute, s.StalledNS)
	assert.Equal(t, 3*hour, s.StoppedNS)
	assert.Equal(t, 2*hour-unit.Second, s.Taps[0].LiveNS)
	assert.Equal(t, s.UntilNS.Sub(s.SinceNS), s.StalledNS+s.StoppedNS+s.Taps[0].LiveNS+s.Taps[0].WaitingNS, "the times add up")
}

// A computer that slept finds frames behind its sleep, and watchers that tell of a silence: nobody
// saw it.
func TestASleepIsNoOutage(t *testing.T) {
	silent := func(r *rig, from unit.Time) {
		r.a.Hear(&event.Event{At: r.now, From: from, Kind: event.BusSilent, About: "tap:main", Data: event.SilentData{}}, &r.v, r.emit)
	}
	wake := func(r *rig, from unit.Time) {
		o := event.Observation{At: r.now, Wire: r.now, Tap: 1, Kind: event.FrameSeen, Frame: &bus.Frame{}}
		require.False(t, r.a.Listened(&o))
		r.a.Stood(r.now, &r.v)
		silent(r, from)
		r.a.Hear(&event.Event{At: r.now, Kind: event.BusLocked, About: "tap:main", Data: event.LockedData{SilentNS: r.now.Sub(from)}}, &r.v, r.emit)
		r.linked(true)
	}
	r := newRig(t, plain, "")
	r.goOn(10*hour, 100, 0)
	asleep := r.now
	r.now = r.now.Add(8 * hour)
	wake(r, asleep)
	r.goOn(hour, 100, 0)
	s := r.shown()
	assert.Zero(t, s.Taps[0].Outages)
	assert.Zero(t, s.Taps[0].Silences)
	assert.Equal(t, 8*hour, s.StalledNS)
	assert.Equal(t, 11*hour-2*unit.Second, s.Taps[0].LiveNS, "the pieces up to the first beat are not known to be live")
	assert.Equal(t, 2*unit.Second, s.Taps[0].WaitingNS)

	// One that was seen to begin is one, and for as long as it was watched.
	silent(r, r.now)
	r.v.Taps[1].Locked, r.v.Taps[1].Linked = false, false
	from := r.now
	r.goOn(10*unit.Second, 0, 0)
	r.now = r.now.Add(8 * hour)
	wake(r, from)
	r.goOn(unit.Minute, 100, 0)
	tap := r.shown().Taps[0]
	assert.EqualValues(t, 1, tap.Outages)
	assert.EqualValues(t, 1, tap.Silences)
	assert.Equal(t, 10*unit.Second, tap.LongestNS)
	assert.True(t, tap.Latest[0].Unseen)
}

// A port that is opened on a bus that is silent already: nobody saw it fall silent.
func TestASilenceThatNobodySawBegin(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.see(event.InputEnd, nil)
	r.now = r.now.Add(hour)
	r.see(event.InputResume, nil)
	r.v.Taps[1].Locked, r.v.Taps[1].Linked = false, false
	r.a.See(&event.Observation{At: r.now, Tap: 1, Kind: event.InputTapUp}, &r.v, r.emit)
	r.a.Hear(&event.Event{At: r.now, From: r.now, Kind: event.BusSilent, About: "tap:main", Data: event.SilentData{}}, &r.v, r.emit)
	r.goOn(unit.Minute, 0, 0)
	r.linked(true)
	r.goOn(unit.Minute, 100, 0)
	tap := r.shown().Taps[0]
	assert.Zero(t, tap.Outages)
	assert.Zero(t, tap.Silences)
}

// The recording may lack where the plug was put in.
func TestAPlugInAGapOfTheRecording(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.a.See(&event.Observation{At: r.now, Tap: 1, Kind: event.InputTapDown}, &r.v, r.emit)
	r.now = r.now.Add(500 * unit.Millisecond)
	r.see(event.InputRecordingGap, []byte(`{"why":"full"}`))
	r.now = r.now.Add(hour)
	r.see(event.InputRecordingGap, []byte(`{"ended":true}`))
	r.linked(true)
	r.goOn(hour, 100, 0)
	s := r.shown()
	assert.Equal(t, hour, s.UnrecordedNS)
	assert.Equal(t, 500*unit.Millisecond, s.Taps[0].UnpluggedNS, "and heard up to the gap")
	assert.Equal(t, 2*hour-2*unit.Second, s.Taps[0].LiveNS)
}

// What came before nobody listened any more came, though its time is not known to be live.
func TestFramesCountToTheLast(t *testing.T) {
	heard := func(stops func(r *rig)) (state.Account, *rig) {
		r := newRig(t, plain, "")
		r.goOn(unit.Minute, 100, 0)
		r.now = r.now.Add(500 * unit.Millisecond)
		r.v.Taps[1].Tally.LinkFrames += 50
		stops(r)
		return *r.shown(), r
	}
	tap := func(kind event.InputKind) func(*rig) {
		return func(r *rig) {
			r.v.Taps[1].Locked, r.v.Taps[1].Linked = false, false
			r.a.See(&event.Observation{At: r.now, Tap: 1, Kind: kind}, &r.v, r.emit)
		}
	}
	for name, stops := range map[string]func(*rig){
		"unplugged": tap(event.InputTapDown),
		"killed":    func(r *rig) { r.now = r.now.Add(hour); r.see(event.InputResume, nil) },
		"stood":     func(r *rig) { r.now = r.now.Add(unit.Minute); r.see(event.InputBeat, nil) },
		"ended":     func(r *rig) { r.see(event.InputEnd, nil) },
		"unrecorded": func(r *rig) { // what comes until the recording goes on is not counted
			r.see(event.InputRecordingGap, []byte(`{"ended": false}`))
			r.v.Taps[1].Tally.LinkFrames += 70
			r.now = r.now.Add(hour)
			r.see(event.InputRecordingGap, []byte(`{"ended": true}`))
		},
	} {
		s, _ := heard(stops)
		assert.EqualValues(t, 6050, s.Taps[0].Frames, name)
	}
	s, r := heard(tap(event.InputTapDown))
	assert.Equal(t, 500*unit.Millisecond, s.Taps[0].WaitingNS-unit.Second, "nobody knows until when it lived")
	r.now = r.now.Add(300 * unit.Millisecond)
	r.a.See(&event.Observation{At: r.now, Tap: 1, Kind: event.InputTapUp}, &r.v, r.emit)
	r.v.Taps[1].Tally.LinkFrames += 20
	r.linked(true)
	r.now = r.now.Add(200 * unit.Millisecond)
	r.see(event.InputBeat, nil)
	after := r.shown().Taps[0]
	assert.Equal(t, 300*unit.Millisecond, after.UnpluggedNS)
	assert.EqualValues(t, 6070, after.Frames, "frames since the plug was in")
	assert.Equal(t, s.Taps[0].LiveNS, after.LiveNS)
}

func TestAPhoneCountsForNothing(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.see(event.InputMark, []byte(event.PhoneMark))
	r.goOn(10*unit.Minute, 100, 1)
	r.lose(5 * unit.Second)
	r.goOn(10*unit.Minute, 100, 1)
	r.see(event.InputMark, []byte(event.PhoneAwayMark))
	r.goOn(hour, 100, 0)
	tap := r.shown().Taps[0]
	assert.Zero(t, tap.Outages)
	assert.Zero(t, tap.Missed)
	assert.Zero(t, tap.MissedRuns)
	assert.EqualValues(t, 2*3600*100, tap.Frames)
	assert.Equal(t, 20*unit.Minute+5*unit.Second, tap.PhoneNS)
	assert.InDelta(t, float64(2*hour), float64(tap.LiveNS), float64(2*unit.Second))
}

// A session may go on with other taps, in another order, and one may have no beginning.
func TestItGoesOnWithOtherTaps(t *testing.T) {
	const two = "taps: {main: {kind: bus}, leads: {kind: pulses}, second: {kind: bus}}\n"
	r := newRig(t, plain+two, "")
	r.goOn(hour, 100, 0)
	r.lose(unit.Second)
	r.see(event.InputResume, nil)
	r.v = base.NewView(r.v.Sheet, []event.TapName{{Name: "leads", Kind: "pulses"}, {Name: "second", Kind: "bus"}, {Name: "main", Kind: "bus"}})
	base.NewCleaned(&r.v, 2)
	r.goOn(unit.Minute, 0, 0)
	s := r.shown()
	require.Len(t, s.Taps, 2)
	assert.Equal(t, "second", s.Taps[0].Name)
	assert.Zero(t, s.Taps[0].Outages)
	assert.EqualValues(t, 1, s.Taps[1].Outages)
	assert.EqualValues(t, hour/unit.Second*100, s.Taps[1].Frames)

	late := account.New(r.v.Sheet)
	late.See(&event.Observation{At: r.now, Tap: 2, Kind: event.FrameSeen, Frame: &bus.Frame{}}, &r.v, r.emit)
	late.See(&event.Observation{At: r.now.Add(unit.Second), Kind: event.InputBeat}, &r.v, r.emit)
	assert.Len(t, late.Show(&r.v).Taps, 2)
}

func TestADrillCountsForNothing(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	r.v.Drill = "failsafe"
	r.goOn(unit.Minute, 100, 0)
	r.lose(10 * unit.Second)
	r.goOn(unit.Minute, 100, 0)
	r.v.Drill = ""
	r.goOn(hour, 100, 0)
	tap := r.shown().Taps[0]
	assert.Zero(t, tap.Outages, "the transmitter was switched off on purpose")
	assert.Equal(t, 2*unit.Minute+10*unit.Second, tap.DrillNS/(10*unit.Second)*(10*unit.Second))
}

// A last loss bounds nothing: what is claimed holds with it as an outage, too.
func TestALastLoss(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(40*hour, 100, 0)
	r.linked(false)
	r.goOn(5*hour, 0, 0)
	s := r.shown()
	tap := s.Taps[0]
	assert.Zero(t, tap.Outages)
	assert.Equal(t, unit.Time(40*hour), tap.GoneSinceNS)
	// 39.999 h / 6.657228 (SOAK, at one event) is 6.008.
	assert.EqualValues(t, 6, tap.OneInHours)
	assert.Contains(t, s.NotProven[0], "that was the transmitter or the receiver, can't be told")
}

func TestAGoal(t *testing.T) {
	r := newRig(t, plain, "12h quiet")
	r.goOn(11*hour, 100, 0)
	r.lose(unit.Second)
	assert.Equal(t, []string{event.GoalMissed}, r.kinds())
	assert.Equal(t, 11*hour-unit.Second, r.events[0].Data.(event.GoalData).AfterNS)
	r.goOn(12*hour-unit.Second, 100, 0)
	assert.Len(t, r.events, 1)
	assert.EqualValues(t, -1, r.shown().Goal.ReachedNS)
	r.goOn(unit.Second, 100, 0)
	require.Equal(t, []string{event.GoalMissed, event.GoalReached}, r.kinds())
	// −ln(1 − 0.95^½) is 3.676138 (SOAK, one stretch failed before): 12 h / 3.676138 is 3.26.
	assert.Equal(t, 3*hour, r.events[1].Data.(event.GoalData).OneInNS)
	r.lose(unit.Second)
	r.goOn(13*hour, 100, 0)
	assert.Len(t, r.events, 2, "it says all it can once it is reached")
	g := r.shown().Goal
	assert.EqualValues(t, 1, g.Failed)
	assert.EqualValues(t, 3, g.Hours)
}

func TestLimits(t *testing.T) {
	limits := plain + "soak: {at_most_one_in: 10h}\n"
	last := func(r *rig) event.SoakData { return r.events[len(r.events)-1].Data.(event.SoakData) }

	r := newRig(t, limits, "")
	r.goOn(37*hour+unit.Minute, 100, 0)
	assert.Len(t, r.events, 37, "each hour")
	assert.Equal(t, 9*hour, last(r).OneInNS)
	assert.EqualValues(t, 10, r.shown().Taps[0].NextHours, "the sheet's limit is what is waited for")
	assert.EqualValues(t, 20, r.shown().Taps[0].Ahead[1].Hours, "and then what is above it")
	r.goOn(hour, 100, 0)
	assert.Equal(t, 10*hour, last(r).OneInNS, "38 h / 3.788419 is 10.03")

	// A rate that is above the limit is refuted, and not by the first few.
	r = newRig(t, limits, "")
	for n := range 12 {
		r.goOn(hour, 100, 0)
		r.lose(unit.Second)
		if n < 2 {
			assert.Zero(t, last(r).BrokenNS, "%d occasions", n+1)
		}
	}
	assert.Equal(t, 10*hour, last(r).BrokenNS)
	assert.Zero(t, last(r).OneInNS)
}

func TestAnOutageThatValuesShow(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(hour, 100, 0)
	hear := func(d event.LossData) {
		r.a.Hear(&event.Event{At: r.now, From: d.LiveNS, Kind: event.LossMeasured, About: "tap:main", Data: d}, &r.v, r.emit)
	}
	held := event.LossData{
		Tap: "main", Class: event.LossHold, Flag: event.FlagClassNever, DatedBy: "stirred",
		LiveNS: r.now.Add(-20 * unit.Second), BackNS: 5 * unit.Second,
	}
	none := held
	none.Class = event.LossNone
	hear(none)
	in := held
	in.Drill = "failsafe"
	hear(in)
	assert.Zero(t, r.shown().Taps[0].Outages)
	hear(held)
	hear(held) // what was counted is counted once
	tap := r.shown().Taps[0]
	assert.EqualValues(t, 1, tap.Outages)
	assert.Equal(t, [4]int64{0, 1, 0, 0}, tap.Causes)
	assert.Equal(t, hour-6*unit.Second, tap.LiveNS, "what seemed live was not")
}

func TestSuppliesThatDip(t *testing.T) {
	const leads = "taps: {main: {kind: bus}, leads: {kind: pulses}}\noutputs: {1: {surface: aileron, moved_by: {aileron: 1.0}}}\n"
	r := newRig(t, plain+leads, "")
	silence := func(apart unit.Duration) {
		r.goOn(unit.Minute, 100, 0)
		r.v.Taps[1].Locked, r.v.Taps[1].Linked = false, false
		r.a.Hear(&event.Event{From: r.now, Kind: event.BusSilent, About: "tap:main", Data: event.SilentData{}}, &r.v, r.emit)
		r.a.Hear(&event.Event{From: r.now.Add(apart), Kind: event.OutputSilent, About: "output:1", Data: event.SilentData{}}, &r.v, r.emit)
		r.a.Hear(&event.Event{From: r.now.Add(apart), Kind: event.OutputSilent, About: "output:2", Data: event.SilentData{}}, &r.v, r.emit)
		r.now = r.now.Add(500 * unit.Millisecond)
		r.linked(true)
		r.now = r.now.Add(500 * unit.Millisecond)
		r.linked(true)
		r.see(event.InputBeat, nil)
	}
	silence(100 * unit.Millisecond)
	s := r.shown()
	assert.EqualValues(t, 1, s.Dips)
	assert.EqualValues(t, 1, s.Taps[0].Outages, "half a second in step with the leads: the receiver was off")
	assert.EqualValues(t, 1, s.Taps[0].Restarts)
	silence(400 * unit.Millisecond)
	s = r.shown()
	assert.EqualValues(t, 1, s.Dips, "not in step")
	assert.EqualValues(t, 1, s.Taps[0].Outages)
	assert.EqualValues(t, 2, s.Taps[0].Silences)
}

func TestWidthsThatDrift(t *testing.T) {
	const leads = "taps: {main: {kind: bus}, leads: {kind: pulses}}\noutputs: {1: {surface: aileron, moved_by: {aileron: 1.0}}}\n"
	r := newRig(t, plain+leads, "")
	pulse := func(w unit.Width) {
		r.a.See(&event.Observation{At: r.now, Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: 1, Width: w}}, &r.v, r.emit)
	}
	for minute := range 600 {
		for s := range 60 {
			at := minute*60 + s
			// 2 µs an hour, with a jitter of 1 µs, and a stick that is moved for five minutes.
			w := 1_500_000 + unit.Width(at*2000/3600) + unit.Width(at*7919%1000)
			if minute >= 100 && minute < 105 && s%10 == 0 {
				w += 300_000
			}
			if minute == 200 && s == 30 {
				r.lose(unit.Second)
			}
			pulse(w)
			r.goOn(unit.Second, 100, 0)
		}
	}
	s := r.shown()
	require.Len(t, s.Rests, 2, "the output, and the neutral on the bus, of which nothing came")
	rest := s.Rests[0]
	assert.Equal(t, "output", rest.Of)
	assert.Equal(t, 5*unit.Minute, rest.MovedNS)
	assert.Equal(t, 594*unit.Minute, rest.RestedNS, "but for these and one with an outage in it")
	require.NotNil(t, rest.Drift, rest.Why)
	assert.InDelta(t, 2000, float64(rest.Drift.PerHourNS), 100)
	assert.Positive(t, rest.Drift.WithinNS)
	assert.Less(t, rest.Drift.WithinNS, unit.Width(1000))
	assert.Nil(t, s.Rests[1].Drift)
	assert.NotEmpty(t, s.Rests[1].Why)
}

// output is a pulse of the first output.
func (r *rig) output(width unit.Width) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: 1, Width: width}}, &r.v, r.emit)
}

// Where too few runs were missed for a share, minutes in which one was count.
func TestMinutesInWhichAFrameWasMissed(t *testing.T) {
	r := newRig(t, plain, "")
	r.goOn(2*unit.Minute, 100, 0) // the piece up to the first beat is not known to be live
	m := &r.a.Taps[1].Missed
	assert.EqualValues(t, 1, m.Minutes)
	assert.Zero(t, m.Hit)
	r.goOn(unit.Second, 100, 3) // in the second minute
	r.goOn(3*unit.Minute, 100, 0)
	assert.EqualValues(t, 5, m.Minutes)
	assert.EqualValues(t, 1, m.Hit)
	r.linked(false)
	r.goOn(2*unit.Second, 100, 2) // missed while it was not known that the link lives
	r.linked(true)
	r.goOn(54*unit.Minute, 100, 0)
	assert.EqualValues(t, 59, m.Minutes)
	assert.EqualValues(t, 2, m.Hit)
	// Clopper and Pearson, 2 of 59, 95 %: 10.29 %.
	assert.Contains(t, r.shown().Proven[1], "in 2 of 59 minutes a frame was missed on the air")
	assert.Contains(t, r.shown().Proven[1], "at most 10.289 %")
}

// A suspicion that nothing ended is said, with what would have ended it.
func TestTimeBehindALeapIsNamed(t *testing.T) {
	for _, x := range []struct{ more, says string }{
		{"", "anything in 2 min in which all that main sent may have been the receiver's presets: many channels had leapt at once, and nothing since showed " +
			"a hand; a heartbeat, which the sheet does not have, would have shown the transmitter; move one stick after such a leap"},
		{"heartbeat: {channel: 16}\n", "anything in 2 min in which all that main sent may have been the receiver's presets: many channels had leapt at once, and " +
			"nothing since showed a hand, or a heartbeat that beats for 5 s"},
	} {
		r := newRig(t, plain+x.more, "")
		r.goOn(unit.Minute, 100, 0)
		r.v.Taps[1].Suspect = true
		r.goOn(2*unit.Minute, 100, 0)
		s := r.shown()
		assert.Equal(t, 2*unit.Minute, s.Taps[0].DoubtedNS)
		assert.Equal(t, unit.Minute-unit.Second, s.Taps[0].LiveNS)
		assert.Contains(t, s.NotProven, x.says)
		assert.Contains(t, account.Watched(s, seconds)[0], "2 min behind a leap of many channels")
		r.v.Taps[1].Signal = event.SignalFailsafe // flags say whose they are
		r.goOn(unit.Minute, 100, 0)
		assert.Equal(t, 2*unit.Minute, r.shown().Taps[0].DoubtedNS)
	}
}
