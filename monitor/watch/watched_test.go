package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

// watched is what Watched reports at the end of each stretch of a play.
func watched(t *testing.T, text string, play func(*rig)) (list []event.ExposureData) {
	for _, e := range reported(t, text,
		func() base.Watcher { return &both{Watched: link.Exposure{Tap: 1}, Missed: link.Missed{Tap: 1}} },
		func(r *rig) { play(r); r.down() }) {
		if e.Kind == event.BusExposure {
			list = append(list, e.Data.(event.ExposureData))
		}
	}
	return list
}

// both are Watched and what it reads from, as one.
type both struct {
	Missed  link.Missed
	Watched link.Exposure
}

func (b *both) See(o *event.Observation, v *base.View, emit event.Emit) {
	b.Missed.See(o, v, emit)
	b.Watched.See(o, v, emit)
}
func (b *both) Due() unit.Time                           { return unit.Never }
func (b *both) Expire(unit.Time, *base.View, event.Emit) {}

// live is the time that believed frames took.
func live(t *testing.T, play func(*rig)) (sum unit.Duration) {
	for _, d := range watched(t, plain, play) {
		sum += d.LiveNS
	}
	return sum
}

// Only a live link counts: from the first frame that makes it to the last.
func TestWhatCountsAsLive(t *testing.T) {
	presets := func(r *rig) {
		for _, ch := range []int{1, 2, 3, 12} {
			r.put(ch, low)
		}
	}
	for name, x := range map[string]struct {
		play func(*rig)
		want int // periods
	}{
		"the fourth plain frame makes the link": {func(r *rig) { r.send(104) }, 100},
		"three do not":                          {func(r *rig) { r.send(3) }, 0},
		"flagged from the start":                {func(r *rig) { r.flagged(900, lost) }, 0},
		"failsafe from the start":               {func(r *rig) { r.flagged(900, failed) }, 0},
		"one frame missed":                      {func(r *rig) { r.send(54); r.flagged(1, lost); r.send(50) }, 101},
		"13 missed: 98 ms apart":                {func(r *rig) { r.send(54); r.flagged(13, lost); r.send(50) }, 113},
		"14 missed: 105 ms apart":               {func(r *rig) { r.send(54); r.flagged(14, lost); r.send(50) }, 99},
		"a failsafe, and a link made anew":      {func(r *rig) { r.send(54); r.flagged(50, failed); r.send(54) }, 103},
		"one frame with the flag":               {func(r *rig) { r.send(54); r.flagged(1, failed); r.send(50) }, 101},
		"a silence of 0.3 s":                    {func(r *rig) { r.send(54); r.silence(293 * ms); r.send(50) }, 99},
		"a longer one, perhaps a restart":       {func(r *rig) { r.send(54); r.silence(294 * ms); r.send(50) }, 96},
		"a jump of many channels, known three frames late": {func(r *rig) {
			r.send(54)
			presets(r)
			r.send(900)
		}, 53},
		"damaged frames": {func(r *rig) {
			r.send(54)
			for range 10 {
				r.bad()
			}
			r.send(50)
		}, 110},
		"a loss under way": {func(r *rig) { r.send(54); r.view.Taps[1].Loss = event.PhaseLost; r.send(50) }, 50},
	} {
		assert.Equal(t, unit.Duration(x.want)*period, live(t, x.play), name)
	}
}

// What a stall of the computer, or a backlog, delivers at once was heard nobody knows
// when.
func TestLateDeliveriesCountNothing(t *testing.T) {
	frame := bus.Frame{}
	for name, x := range map[string]struct {
		apart, late unit.Duration
		want        unit.Duration
	}{
		"one behind the other as fast as can be": {3 * ms, 0, 96 * 3 * ms},
		"faster than that":                       {3*ms - 1, 0, 0},
		"at one date":                            {0, 0, 0},
		"100 ms after it was on the wire":        {period, 100 * ms, 96 * period},
	} {
		assert.Equal(t, x.want, live(t, func(r *rig) {
			for range 100 {
				r.at = r.at.Add(x.apart)
				f := frame
				r.see(&event.Observation{At: r.at.Add(x.late), Wire: r.at, Tap: 1, Kind: event.FrameSeen, Frame: &f})
			}
		}), name)
	}
}

// stir moves a stick to and fro for a number of frames.
func stir(r *rig, ch, frames int) {
	for n := range frames {
		r.put(ch, uint32(middle+200*(n/2%2)))
		r.send(1)
	}
}

func TestKnownMovement(t *testing.T) {
	for name, x := range map[string]struct {
		play   func(*rig)
		moving unit.Duration
		spells int64
	}{
		"nothing moves":           {func(r *rig) { r.send(900) }, 0, 0},
		"a stick is stirred":      {func(r *rig) { r.send(4); stir(r, 1, 202) }, 194 * period, 1}, // the middle of seven frames rounds its ends off
		"a pause under a second":  {func(r *rig) { r.send(4); stir(r, 1, 102); r.send(134); stir(r, 1, 102) }, 330 * period, 1},
		"and one of a second":     {func(r *rig) { r.send(4); stir(r, 1, 102); r.send(139); stir(r, 1, 102) }, (94 + 94) * period, 2},
		"three counts are tremor": {func(r *rig) { r.send(4); shake(r, 3) }, 0, 0},
		"four are none":           {func(r *rig) { r.send(4); shake(r, 4) }, 194 * period, 1},
		"slow movement": {func(r *rig) {
			r.send(4)
			for n := range 400 { // a count each 70 ms
				r.put(1, uint32(middle+n/10))
				r.send(1)
			}
		}, 320 * period, 1},
		"a switch is no spell":       {func(r *rig) { r.send(50); r.put(11, low); r.send(50) }, 0, 0},
		"nor are three wrong frames": {func(r *rig) { r.send(50); r.play(2, high, high, high, middle); r.send(50) }, 0, 0},
		"98 ms are none":             {func(r *rig) { r.send(4); stir(r, 1, 18) }, 0, 0},
		"105 ms are one":             {func(r *rig) { r.send(4); shake1(r, 19) }, 15 * period, 1},
		"a silence ends a spell":     {func(r *rig) { r.send(4); stir(r, 1, 102); r.silence(200 * ms); stir(r, 1, 102) }, (94 + 94) * period, 2},
		"what moves in a failsafe":   {func(r *rig) { r.send(50); r.frame.Flags = failed; stir(r, 1, 200); r.frame.Flags = 0 }, 0, 0},
	} {
		list := watched(t, plain, x.play)
		require.NotEmpty(t, list, name)
		assert.Equal(t, x.moving, list[0].MovingNS, name)
		assert.Equal(t, x.spells, list[0].Spells, name)
	}
}

// shake moves a stick by so many counts to and fro, two frames each.
func shake(r *rig, counts uint32) {
	for n := range 202 {
		r.put(1, middle+counts*uint32(n/2%2))
		r.send(1)
	}
}

// shake1 moves a stick with every frame.
func shake1(r *rig, frames int) {
	for n := range frames {
		r.put(1, uint32(middle+100*(1+n%2)))
		r.send(1)
	}
}

func TestTheHeartbeatsTime(t *testing.T) {
	beats := func(r *rig, n, every int) {
		for range n {
			r.put(16, (r.frame.Counts[15]+3)%2000)
			r.send(every)
		}
	}
	for name, x := range map[string]struct {
		text string
		play func(*rig)
		want unit.Duration
	}{
		"five movements make a heartbeat":    {beating, func(r *rig) { r.send(4); beats(r, 25, 10) }, 20 * 10 * period},
		"none but the sheet's":               {plain, func(r *rig) { r.send(4); beats(r, 25, 10) }, 0},
		"one with every frame":               {beating, func(r *rig) { r.send(4); beats(r, 210, 1) }, 202 * period},
		"it stops":                           {beating, func(r *rig) { r.send(4); beats(r, 25, 10); r.send(900) }, 20 * 10 * period},
		"slow, and not too slow: 4.998 s":    {beating, func(r *rig) { r.send(4); beats(r, 7, 714) }, 2 * 714 * period},
		"too slow: 5.005 s":                  {beating, func(r *rig) { r.send(4); beats(r, 9, 715) }, 0},
		"a wrong frame is no movement":       {beating, func(r *rig) { r.send(4); beats(r, 5, 10); r.play(16, 0, 1007, 0, 1007); r.send(20) }, 0},
		"a silence is none of its time":      {beating, func(r *rig) { r.send(4); beats(r, 6, 10); r.silence(200 * ms); beats(r, 7, 10) }, 2 * 10 * period},
		"and it is not movement of controls": {beating, func(r *rig) { r.send(4); beats(r, 6, 10) }, 10 * period},
	} {
		d := watched(t, x.text, x.play)[0]
		assert.Equal(t, x.want, d.BeatingNS, name)
		if x.text == beating {
			assert.Zero(t, d.MovingNS, name)
		}
	}
}

// A channel moved if it stood at two levels, 20 µs apart at least: 32 counts.
func TestWhichChannelsMoved(t *testing.T) {
	stands := func(ch int, frames int, counts ...uint32) func(*rig) {
		return func(r *rig) {
			r.send(50)
			for _, c := range counts {
				r.put(ch, c)
				r.send(frames)
			}
		}
	}
	for name, x := range map[string]struct {
		play func(*rig)
		want []int
	}{
		"nothing":                {func(r *rig) { r.send(900) }, []int{}},
		"20 µs":                  {stands(11, 50, middle+32), []int{11}},
		"less":                   {stands(11, 50, middle+31), []int{}},
		"in steps of less":       {stands(11, 50, middle+20, middle+40), []int{11}},
		"a third level is near":  {stands(11, 50, middle+40, middle), []int{11}},
		"150 ms: 23 frames":      {stands(11, 23, middle+40, middle), []int{11}},
		"not settled: 22 frames": {stands(11, 22, middle+40, middle), []int{}},
		"trembling by 2.5 µs":    {func(r *rig) { r.send(50); r.play(11, tremor(1032, 4)...) }, []int{11}},
		"by more":                {func(r *rig) { r.send(50); r.play(11, tremor(1032, 5)...) }, []int{}},
		"a channel of no sheet":  {stands(13, 50, middle+400), []int{}},
		"two of them":            {func(r *rig) { stands(1, 50, low)(r); stands(15, 50, low)(r) }, []int{1, 15}},
		"a digital one":          {func(r *rig) { r.send(50); r.flagged(50, bus.Digital(0)) }, []int{17}},
		"by a failsafe":          {func(r *rig) { r.send(50); r.put(11, low); r.flagged(50, failed); r.put(11, middle); r.send(50) }, []int{}},
		"across a loss":          {func(r *rig) { r.send(50); r.flagged(50, failed); r.send(50); stands(11, 50, low)(r) }, []int{11}},
		"half before a silence and half behind": {func(r *rig) {
			stands(11, 12, low)(r)
			r.silence(200 * ms)
			r.send(12)
			r.put(11, middle)
			r.send(50)
		}, []int{}},
	} {
		assert.Equal(t, x.want, watched(t, plain, x.play)[0].Moved, name)
	}
}

func tremor(at, by uint32) (counts []uint32) {
	for n := range 50 {
		counts = append(counts, at+by*uint32(n%2))
	}
	return counts
}

// A stretch ends with the tap, with the sitting, and where something is to be seen
// anew; what comes then is counted by itself.
func TestStretches(t *testing.T) {
	for name, end := range map[string]event.Observation{
		"end": {Kind: event.InputEnd}, "resume": {Kind: event.InputResume}, "gap": {Kind: event.InputRecordingGap}, "down": {Kind: event.InputTapDown, Tap: 1},
		"reopen": {Kind: event.InputReopen, Data: []byte("teach")}, "changed": {Kind: event.InputMark, Data: []byte(event.ChangedMark)},
	} {
		list := watched(t, plain, func(r *rig) {
			r.send(54)
			end.At = r.at
			r.see(&end)
			r.send(54)
		})
		require.Len(t, list, 2, name)
		assert.Equal(t, 50*period, list[0].LiveNS, name)
		assert.Equal(t, int64(50), list[0].LinkFrames, name)
		assert.LessOrEqual(t, list[1].LiveNS, 53*period, name)
		assert.Less(t, list[1].LinkFrames, int64(55), name)
	}
	one := watched(t, plain, func(r *rig) {
		r.send(54)
		r.see(&event.Observation{At: r.at, Kind: event.InputMark, Data: []byte("went for tea")})
		r.see(&event.Observation{At: r.at, Kind: event.InputTapDown, Tap: 2})
		r.send(50)
	})
	assert.Len(t, one, 1)
	assert.Empty(t, watched(t, plain, func(r *rig) { r.flagged(900, lost) }), "nothing was heard")
}

func TestWhatALinkMissed(t *testing.T) {
	d := watched(t, plain, func(r *rig) {
		r.flagged(50, lost)
		r.send(104)
		r.flagged(2, lost)
		r.send(48)
		r.flagged(3, lost)
		r.send(7)
		r.flagged(40, lost)
		r.flagged(40, failed)
		r.send(54)
		r.flagged(9, lost)
		r.silence(unit.Second)
	})
	require.Len(t, d, 1)
	assert.Equal(t, event.LinkFigures{LinkFrames: 210, LinkMissed: 5, LinkNS: 210 * period}, d[0].LinkFigures)
}

func TestTheOnsetIsTheFirstFrameThatCounts(t *testing.T) {
	var first unit.Time
	events := reported(t, plain, func() base.Watcher { return &both{Watched: link.Exposure{Tap: 1}, Missed: link.Missed{Tap: 1}} }, func(r *rig) {
		r.flagged(20, lost)
		first = r.send(54) // with the fourth, three behind, it is known to be live
		r.down()
	})
	e := one(t, events)
	assert.Equal(t, event.BusExposure, e.Kind)
	assert.Equal(t, "tap:main", e.About)
	assert.Equal(t, first, e.From)
	assert.Equal(t, "main", e.Data.(event.ExposureData).Tap)
}
