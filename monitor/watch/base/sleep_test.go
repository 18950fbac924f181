package base_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// calmly is a run of so many calm frames, in one of which, from 1, channels changed. The wire
// time of a frame is its number.
func calmly(frames, moves int, changed base.ChannelSet) base.Calm {
	c := base.NewCalm()
	for i := range frames {
		if i+1 == moves {
			c.Add(unit.Time(i+1), changed)
		} else {
			c.Add(unit.Time(i+1), 0)
		}
	}
	return c
}

// Whoever is asked sooner than behind every eighth frame hears of what moved in eight frames at
// the least, too.
func TestWhatMovedLately(t *testing.T) {
	for _, x := range []struct {
		frames, moves int
		sooner        bool
		moved, asked  bool
	}{
		{frames: 7, moves: 5, sooner: true},
		{frames: 7, moves: 5},
		{frames: 8, moves: 8, asked: true, moved: true},
		{frames: 8, moves: 1, asked: true, moved: true},
		{frames: 9, moves: 5},
		{frames: 9, moves: 8, sooner: true, asked: true, moved: true},
		{frames: 12, moves: 5, sooner: true, asked: true, moved: true},
		{frames: 12, moves: 9, sooner: true, asked: true, moved: true},
		{frames: 16, moves: 9, asked: true, moved: true},
		{frames: 16, moves: 8, asked: true},
		{frames: 20, moves: 8, sooner: true, asked: true},
	} {
		c, asked := calmly(x.frames, x.moves, 1<<3).Asked(x.sooner)
		assert.Equal(t, x.asked, asked, "%+v", x)
		assert.Equal(t, x.moved, asked && c.Moved == 1<<3, "%+v", x)
	}
}

func TestWireTimesOfARun(t *testing.T) {
	c := calmly(40, 0, 0)
	assert.Equal(t, unit.Time(40), c.Wire(0))
	assert.Equal(t, unit.Time(37), c.Wire(3))
	before := c.Before()
	assert.Equal(t, int64(39), before.Frames)
	assert.Equal(t, unit.Time(39), before.Wire(0))
	c.Again()
	c.Add(100, 0)
	assert.Equal(t, unit.Time(100), c.Wire(0))
	assert.Equal(t, int64(1), c.Frames)
}

func aView(t *testing.T) *base.View {
	s, err := sheet.Read("asleep", sheettest.TwoSwitches())
	require.NoError(t, err)
	v := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}})
	v.Taps[1].Locked, v.Taps[1].Linked, v.Taps[1].Signal = true, true, event.SignalLive
	return &v
}

func TestWhichFramesFollowCalmly(t *testing.T) {
	v := aView(t)
	const before = unit.Time(unit.Second)
	for name, x := range map[string]struct {
		change func(o *event.Observation)
		want   bool
	}{
		"plain":                  {func(*event.Observation) {}, true},
		"digital channels":       {func(o *event.Observation) { o.Frame.Flags = bus.Digital(0) }, true},
		"damaged":                {func(o *event.Observation) { o.Frame.Bad = true }, false},
		"lost":                   {func(o *event.Observation) { o.Frame.Flags = bus.Lost }, false},
		"failsafe":               {func(o *event.Observation) { o.Frame.Flags = bus.Failsafe }, false},
		"late":                   {func(o *event.Observation) { o.Pace.Late = true }, false},
		"missing":                {func(o *event.Observation) { o.Pace.Missing = 1 }, false},
		"taken back":             {func(o *event.Observation) { o.Pace.Missing = -1 }, false},
		"unsure":                 {func(o *event.Observation) { o.Pace.Unsure = true }, false},
		"no period yet":          {func(o *event.Observation) { o.Pace.Known = false }, false},
		"no frame":               {func(o *event.Observation) { o.Kind = event.BytesRefused }, false},
		"a frame's time":         {func(o *event.Observation) { o.Wire = before.Add(v.FrameTime) }, true},
		"less than that":         {func(o *event.Observation) { o.Wire = before.Add(v.FrameTime - 1) }, false},
		"100 ms":                 {func(o *event.Observation) { o.Wire = before.Add(base.MaxFrameStep) }, true},
		"more than that":         {func(o *event.Observation) { o.Wire = before.Add(base.MaxFrameStep + 1) }, false},
		"more, as they are read": {func(o *event.Observation) { o.At = before.Add(base.MaxFrameStep + 1) }, false},
	} {
		o := &event.Observation{Kind: event.FrameSeen, Tap: 1, At: before.Add(14 * unit.Millisecond), Frame: &bus.Frame{}}
		o.Wire, o.Pace = o.At, event.Pace{Known: true, Period: 14 * unit.Millisecond}
		x.change(o)
		assert.Equal(t, x.want, base.Follows(o, before, before, v), name)
	}
}

func TestWhereNothingIsUnderWay(t *testing.T) {
	assert.True(t, aView(t).Sure(1))
	for name, doubt := range map[string]func(v *base.View){
		"a drill":             func(v *base.View) { v.Drill = "order" },
		"no frames":           func(v *base.View) { v.Taps[1].Locked = false },
		"no link":             func(v *base.View) { v.Taps[1].Linked = false },
		"a failsafe":          func(v *base.View) { v.Taps[1].Failsafe = true },
		"values of one":       func(v *base.View) { v.Taps[1].Signal = event.SignalFailsafe },
		"missed frames":       func(v *base.View) { v.Taps[1].Signal = event.SignalMissed },
		"a leap":              func(v *base.View) { v.Taps[1].Leapt = true },
		"a suspicion":         func(v *base.View) { v.Taps[1].Suspect = true },
		"sticks that froze":   func(v *base.View) { v.Taps[1].Froze = true },
		"a heartbeat stopped": func(v *base.View) { v.Taps[1].Stopped = true },
		"a loss":              func(v *base.View) { v.Taps[1].Loss = event.PhaseLost },
		"values that stand":   func(v *base.View) { v.Taps[1].UnflaggedHold.From = 1 },
	} {
		v := aView(t)
		doubt(v)
		assert.False(t, v.Sure(1), name)
	}
}

func TestWhichChannelsChanged(t *testing.T) {
	var a, b bus.Counts
	assert.Equal(t, base.ChannelSet(0), base.Changed(&a, &b))
	for ch := range bus.MaxChannels {
		b = a
		b[ch]++
		assert.Equal(t, base.ChannelSet(1)<<ch, base.Changed(&a, &b))
	}
	set := base.ChannelSet(1<<9 | 1<<2)
	assert.Equal(t, 2, set.Pop())
	assert.Equal(t, 9, set.Pop())
	assert.Zero(t, set)
	p := aView(t).Protocol
	assert.Equal(t, base.ChannelSet(1), base.SetOf(p, 1))
	assert.Equal(t, base.ChannelSet(1)<<bus.MaxChannels, base.SetOf(p, p.Channels+1), "the first digital channel")
}
