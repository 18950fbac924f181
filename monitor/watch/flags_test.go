package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

const (
	lost   = servobus.FlagFrameLost
	failed = servobus.FlagFailsafe
)

func TestFailsafe(t *testing.T) {
	fresh := func() watch.Watcher { return &watch.Failsafe{Tap: 1} }
	entered, left := []string{fact.FailsafeEntered}, []string{fact.FailsafeEntered, fact.FailsafeLeft}
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"one frame", func(r *rig) { r.send(10); r.flagged(1, failed); r.send(10) }, []string{}},
		{"two frames", func(r *rig) { r.send(10); r.flagged(2, failed) }, entered},
		{"two that stand alone", func(r *rig) { r.send(10); r.flagged(1, failed); r.send(1); r.flagged(1, failed); r.send(10) }, []string{}},
		{"one on each side of a tap that went", func(r *rig) { r.send(10); r.flagged(1, failed); r.down(); r.flagged(1, failed); r.send(10) }, []string{}},
		{"lost is no failsafe", func(r *rig) { r.send(10); r.flagged(100, lost) }, []string{}},
		{"both flags are", func(r *rig) { r.send(10); r.flagged(2, lost|failed) }, entered},
		{"one live frame ends none", func(r *rig) { r.send(10); r.flagged(9, failed); r.send(1); r.flagged(9, failed) }, entered},
		{"two live frames do", func(r *rig) { r.send(10); r.flagged(9, failed); r.send(2) }, left},
		{"one on each side of a tap that went does not", func(r *rig) {
			r.send(10)
			r.flagged(9, failed)
			r.send(1)
			r.down()
			r.send(1)
			r.flagged(5, failed)
		}, entered},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(told(t, plain, fresh, c.play)))
		})
	}
}

// Times count from the last live frame; what is still lost is not live.
func TestFailsafeTimes(t *testing.T) {
	fresh := func() watch.Watcher { return &watch.Failsafe{Tap: 1} }
	var live, first, back, link fact.Time
	events := told(t, plain, fresh, func(r *rig) {
		r.flagged(5, failed)
		link = r.send(10)
		live = r.at
		r.flagged(30, lost)
		first = r.flagged(20, failed)
		back = r.flagged(10, lost)
		r.send(10)
	})
	assert.Equal(t, []any{
		fact.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: true},
		fact.FailsafeData{LiveNS: link, AfterNS: 5 * period, BeforeLink: true},
		fact.FailsafeData{LiveNS: live, AfterNS: 31 * period},
		fact.FailsafeData{LiveNS: -1, AfterNS: 20 * period},
	}, data(events))
	assert.Equal(t, first, events[2].From)
	assert.Equal(t, first+period, events[2].At)
	assert.Equal(t, back, events[3].From)
}

func data(list []fact.Event) (all []any) {
	for _, e := range list {
		all = append(all, e.Data)
	}
	return all
}

// A flag that stands alone says nothing of whose values the frame carries.
func TestWhoseValues(t *testing.T) {
	told(t, plain, func() watch.Watcher { return &watch.Failsafe{Tap: 1} }, func(r *rig) {
		signal := func(want fact.Signal) { t.Helper(); assert.Equal(t, want, r.view.Taps[1].Signal) }
		signal("")
		r.send(1)
		signal(fact.Live)
		r.flagged(1, failed)
		signal(fact.Live)
		r.flagged(1, failed)
		signal(fact.Failsafe)
		r.send(1)
		signal(fact.Failsafe)
		r.send(1)
		signal(fact.Live)
		r.flagged(1, lost)
		signal(fact.Missed)
		r.frame.Flags = failed
		r.bad()
		r.bad()
		signal(fact.Missed)
	})
}

// run is what a test of Missed wants to know of an event.
type run struct {
	frames int64
	loss   bool
}

func TestMissed(t *testing.T) {
	fresh := func() watch.Watcher { return &watch.Missed{Tap: 1} }
	for _, c := range []struct {
		name string
		play func(*rig)
		want []run
	}{
		{"before the link", func(r *rig) { r.flagged(50, lost); r.flagged(50, failed); r.send(10) }, nil},
		{"three plain frames make no link", func(r *rig) { r.send(3); r.flagged(3, lost); r.send(10) }, nil},
		{"four do", func(r *rig) { r.send(4); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"not four in all", func(r *rig) { r.send(2); r.flagged(1, lost); r.send(2); r.flagged(3, lost); r.send(10) }, nil},
		{"a damaged frame neither counts nor ends a link in the making", func(r *rig) { r.send(2); r.bad(); r.send(2); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"not over yet", func(r *rig) { r.send(4); r.flagged(3, lost) }, nil},
		{"two runs", func(r *rig) { r.send(4); r.flagged(1, lost); r.send(1); r.flagged(2, lost); r.send(1) }, []run{{1, false}, {2, false}}},
		{"one failsafe flag alone settles nothing", func(r *rig) { r.send(4); r.flagged(3, lost); r.flagged(1, failed); r.send(1) }, []run{{4, false}}},
		{"two are a loss", func(r *rig) { r.send(4); r.flagged(3, lost); r.flagged(2, failed); r.flagged(5, lost); r.send(1) }, []run{{10, true}}},
		{"behind a loss a link is made anew", func(r *rig) {
			r.send(4)
			r.flagged(2, failed)
			r.send(4)
			r.flagged(1, lost)
			r.send(4)
			r.flagged(2, lost)
			r.send(1)
		}, []run{{2, true}, {1, false}, {2, false}}},
		{"and not before", func(r *rig) {
			r.send(4)
			r.flagged(2, failed)
			r.send(3)
			r.flagged(1, lost)
			r.send(3)
			r.flagged(2, lost)
			r.send(9)
		}, []run{{2, true}}},
		{"as long as a failsafe takes: 1001 ms", func(r *rig) { r.send(4); r.flagged(144, lost); r.send(1) }, []run{{144, true}}},
		{"just shorter: 994 ms", func(r *rig) { r.send(4); r.flagged(143, lost); r.send(1) }, []run{{143, false}}},
		{"before a silence", func(r *rig) { r.send(4); r.flagged(3, lost); r.silence(94 * ms); r.send(9) }, []run{{3, true}}},
		{"a gap of 100 ms is none", func(r *rig) { r.send(4); r.flagged(3, lost); r.silence(93 * ms); r.send(9) }, []run{{3, false}}},
		{"behind a silence of a second the link goes on", func(r *rig) { r.send(4); r.silence(993 * ms); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"behind a longer one the receiver may have been off", func(r *rig) { r.send(4); r.silence(994 * ms); r.flagged(3, lost); r.send(9) }, nil},
		{"among presets", func(r *rig) {
			r.send(4)
			for _, ch := range []int{1, 2, 3} {
				r.put(ch, low)
			}
			r.flagged(3, lost)
			r.send(30)
		}, []run{{3, true}}},
		{"a damaged frame neither counts nor ends one", func(r *rig) { r.send(4); r.flagged(2, lost); r.bad(); r.flagged(2, lost); r.send(1) }, []run{{4, false}}},
		{"a tap that goes ends one, and nobody knows how", func(r *rig) { r.send(4); r.flagged(2, lost); r.down() }, []run{{2, true}}},
		{"behind it a link is made anew", func(r *rig) { r.send(4); r.down(); r.send(3); r.flagged(2, lost); r.send(9) }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []run
			for _, e := range told(t, plain, fresh, c.play) {
				d := e.Data.(fact.RunData)
				got = append(got, run{d.Frames, d.Loss})
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// The sheet says how long a failsafe takes, a second where it does not.
func TestARunAsLongAsAFailsafeTakes(t *testing.T) {
	e := one(t, told(t, presetSheet, func() watch.Watcher { return &watch.Missed{Tap: 1} }, func(r *rig) {
		r.send(4)
		r.flagged(73, lost) // 504 ms
		r.send(1)
	}))
	assert.True(t, e.Data.(fact.RunData).Loss)
}

// With one frame in ten missed there is no line for each.
func TestManyRunsAreToldTogether(t *testing.T) {
	missing := func(r *rig, runs int) {
		for range runs {
			r.send(9)
			r.flagged(1, lost)
		}
		r.send(1)
	}
	var first fact.Time
	events := told(t, plain, func() watch.Watcher { return &watch.Missed{Tap: 1} }, func(r *rig) {
		r.send(4)
		missing(r, 3)
		first = r.at + 10*period
		missing(r, 150)
		r.see(&fact.Observation{At: r.at, Kind: fact.End})
	})
	require.Len(t, events, 4)
	for i, e := range events[:3] {
		assert.Equal(t, fact.RunData{Frames: 1, Air: events[i].Data.(fact.RunData).Air}, e.Data)
	}
	assert.Equal(t, first, events[3].From)
	assert.Equal(t, fact.RunData{Frames: 150, Runs: 150, SpanNS: 149 * 10 * period, Air: fact.Air{LinkFrames: 1532, LinkMissed: 153, LinkNS: 1532 * period}}, events[3].Data)
}

func TestWhenManyRunsAreTold(t *testing.T) {
	run := func(r *rig, frames int) { r.flagged(frames, lost); r.send(1) }
	for name, x := range map[string]struct {
		play func(*rig)
		want []fact.RunData
	}{
		"three at once, then together": {func(r *rig) {
			for _, n := range []int{1, 2, 3, 4, 6, 5} {
				run(r, n)
			}
			r.send(20)
			r.down()
		}, []fact.RunData{{Frames: 1}, {Frames: 2}, {Frames: 3}, {Frames: 15, Runs: 3}}},
		"before a loss": {func(r *rig) {
			for _, n := range []int{1, 1, 1, 2} {
				run(r, n)
			}
			r.flagged(9, failed)
			r.send(9)
		}, []fact.RunData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2, Runs: 1}, {Frames: 9, Loss: true}}},
		"one by one again once it was quiet for ten seconds": {func(r *rig) {
			for range 3 {
				run(r, 1)
			}
			r.send(1428)
			run(r, 2) // 10.010 s after the end of the one before
		}, []fact.RunData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2}}},
		"not before": {func(r *rig) {
			for range 3 {
				run(r, 1)
			}
			r.send(1424)
			run(r, 2)
			r.down()
		}, []fact.RunData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2, Runs: 1}}},
		"before what was seen is to be seen anew": {func(r *rig) {
			for range 4 {
				run(r, 1)
			}
			r.see(&fact.Observation{At: r.at, Kind: fact.Reopen})
		}, []fact.RunData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 1, Runs: 1}}},
	} {
		var got []fact.RunData
		for _, e := range told(t, plain, func() watch.Watcher { return &watch.Missed{Tap: 1} }, func(r *rig) { r.send(4); x.play(r) }) {
			d := e.Data.(fact.RunData)
			got = append(got, fact.RunData{Frames: d.Frames, Runs: d.Runs, Loss: d.Loss})
		}
		assert.Equal(t, x.want, got, name)
	}
	m := &watch.Missed{Tap: 1, Frames: 2, Date: 5 * fact.Second}
	assert.Equal(t, 6*fact.Second, m.Due(), "a run that a silence ends")
	m = &watch.Missed{Tap: 1, Wait: fact.RunData{Runs: 2}, Until: 15 * fact.Second}
	assert.Equal(t, 15*fact.Second, m.Due(), "runs that wait")
}

const presetSheet = plain + "failsafe: {flag: required, within: 500ms, heard: {default: hold}}\n"

func TestPresets(t *testing.T) {
	fresh := func() watch.Watcher { return &watch.Presets{Tap: 1} }
	for _, c := range []struct {
		name string
		play func(*rig)
		told int
	}{
		{"once the sheet's time is over", func(r *rig) { r.send(9); r.flagged(72, failed) }, 1},
		{"not before", func(r *rig) { r.send(9); r.flagged(71, failed) }, 0},
		{"not before they stand for 300 ms", func(r *rig) { r.send(9); r.flagged(60, failed); r.put(1, low); r.flagged(43, failed) }, 0},
		{"but then", func(r *rig) { r.send(9); r.flagged(60, failed); r.put(1, low); r.flagged(44, failed) }, 1},
		{"of a signal that never was", func(r *rig) { r.flagged(200, failed) }, 0},
		{"once a loss", func(r *rig) { r.send(9); r.flagged(200, failed); r.put(1, low); r.flagged(200, failed) }, 1},
		{"one frame without the flag is the same loss", func(r *rig) { r.send(9); r.flagged(200, failed); r.send(1); r.flagged(200, failed) }, 1},
		{"two are the end of it", func(r *rig) { r.send(9); r.flagged(200, failed); r.send(2); r.flagged(200, failed) }, 2},
		{"five frames in a row at least", func(r *rig) { r.send(9); r.flagged(100, lost); r.flagged(4, failed) }, 0},
		{"five are enough", func(r *rig) { r.send(9); r.flagged(100, lost); r.flagged(5, failed) }, 1},
		{"a tap that went begins anew", func(r *rig) { r.send(9); r.flagged(200, failed); r.down(); r.flagged(200, failed) }, 2},
		{"lost is no failsafe", func(r *rig) { r.send(9); r.flagged(500, lost) }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, told(t, presetSheet, fresh, c.play), c.told)
		})
	}
}
