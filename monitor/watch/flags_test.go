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

const (
	lost   = bus.Lost
	failed = bus.Failsafe
)

func TestFailsafe(t *testing.T) {
	fresh := func() base.Watcher { return &link.Failsafe{Tap: 1} }
	entered, left := []string{event.FailsafeEntered}, []string{event.FailsafeEntered, event.FailsafeLeft}
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"three frames", func(r *rig) { r.send(10); r.flagged(3, failed); r.send(10) }, []string{}},
		{"four frames", func(r *rig) { r.send(10); r.flagged(4, failed) }, entered},
		{"three and three", func(r *rig) { r.send(10); r.flagged(3, failed); r.send(1); r.flagged(3, failed); r.send(10) }, []string{}},
		{"two on each side of a tap that went", func(r *rig) { r.send(10); r.flagged(2, failed); r.down(); r.flagged(2, failed); r.send(10) }, []string{}},
		{"damaged frames say nothing", func(r *rig) {
			r.send(10)
			r.frame.Flags = failed
			for range 9 {
				r.bad()
			}
		}, []string{}},
		{"lost is no failsafe", func(r *rig) { r.send(10); r.flagged(100, lost) }, []string{}},
		{"both flags are", func(r *rig) { r.send(10); r.flagged(4, lost|failed) }, entered},
		{"three live frames end none", func(r *rig) { r.send(10); r.flagged(9, failed); r.send(3); r.flagged(9, failed) }, entered},
		{"four live frames do", func(r *rig) { r.send(10); r.flagged(9, failed); r.send(4) }, left},
		{"two on each side of a tap that went do not", func(r *rig) {
			r.send(10)
			r.flagged(9, failed)
			r.send(2)
			r.down()
			r.send(2)
			r.flagged(5, failed)
		}, entered},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(reported(t, plain, fresh, c.play)))
		})
	}
}

// Times count from the last live frame; what is still lost is not live.
func TestFailsafeTimes(t *testing.T) {
	fresh := func() base.Watcher { return &link.Failsafe{Tap: 1} }
	var live, first, back, link unit.Time
	events := reported(t, plain, fresh, func(r *rig) {
		r.flagged(5, failed)
		link = r.send(10)
		live = r.at
		r.flagged(30, lost)
		first = r.flagged(20, failed)
		back = r.flagged(10, lost)
		r.send(10)
	})
	assert.Equal(t, []any{
		event.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: true},
		event.FailsafeData{LiveNS: link, AfterNS: 5 * period, BeforeLink: true},
		event.FailsafeData{LiveNS: live, AfterNS: 31 * period},
		event.FailsafeData{LiveNS: -1, AfterNS: 20 * period},
	}, data(events))
	assert.Equal(t, first, events[2].From)
	assert.Equal(t, first.Add(3*period), events[2].At, "at the fourth")
	assert.Equal(t, back, events[3].From)
}

// What an entry may say of how it came.
func TestHowAFailsafeBegan(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(r *rig) event.FailsafeData // and what is to be said of the latest entry
	}{
		{"no frame flagged as lost came before: no time", func(r *rig) event.FailsafeData {
			r.send(10)
			r.flagged(4, failed)
			return event.FailsafeData{LiveNS: -1, AfterNS: -1}
		}},
		{"nor with both flags at once", func(r *rig) event.FailsafeData {
			r.send(10)
			r.flagged(4, lost|failed)
			return event.FailsafeData{LiveNS: -1, AfterNS: -1}
		}},
		{"the last live frame is one of four", func(r *rig) event.FailsafeData {
			r.send(10)
			live := r.at
			r.flagged(10, lost)
			r.send(3) // wrong frames, or live ones: not reported
			r.flagged(10, lost)
			r.flagged(4, failed)
			return event.FailsafeData{LiveNS: live, AfterNS: 24 * period}
		}},
		{"again, with no live frame between", func(r *rig) event.FailsafeData {
			r.send(10)
			r.flagged(10, failed)
			r.flagged(10, lost)
			r.flagged(10, failed)
			return event.FailsafeData{LiveNS: -1, AfterNS: -1, Again: true}
		}},
		{"a live link between begins another", func(r *rig) event.FailsafeData {
			r.send(10)
			r.flagged(10, failed)
			r.send(4)
			live := r.at
			r.flagged(1, lost)
			r.flagged(10, failed)
			return event.FailsafeData{LiveNS: live, AfterNS: 2 * period}
		}},
		{"behind a silence a receiver may have begun anew", func(r *rig) event.FailsafeData {
			r.send(10)
			r.silence(700 * ms)
			r.flagged(5, lost)
			r.flagged(10, failed)
			return event.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: true, AfterSilence: true}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var want event.FailsafeData
			var last event.Event
			for _, e := range reported(t, plain, func() base.Watcher { return &link.Failsafe{Tap: 1} }, func(r *rig) { want = c.play(r) }) {
				if e.Kind == event.FailsafeEntered {
					last = e
				}
			}
			assert.Equal(t, want, last.Data)
		})
	}
}

func data(list []event.Event) (all []any) {
	for _, e := range list {
		all = append(all, e.Data)
	}
	return all
}

// Fewer than four frames in a row say nothing of whose values they carry.
func TestWhoseValues(t *testing.T) {
	reported(t, plain, func() base.Watcher { return &link.Link{Tap: 1} }, func(r *rig) {
		signal := func(want event.Signal) { t.Helper(); assert.Equal(t, want, r.view.Taps[1].Signal) }
		signal("")
		r.send(3)
		signal("")
		r.send(1)
		signal(event.SignalLive)
		r.flagged(3, failed)
		signal(event.SignalLive)
		r.flagged(1, failed)
		signal(event.SignalFailsafe)
		r.send(3)
		signal(event.SignalFailsafe)
		r.send(1)
		signal(event.SignalLive)
		r.flagged(3, lost)
		signal(event.SignalLive)
		r.flagged(1, lost)
		signal(event.SignalMissed)
		r.flagged(68, lost) // 72 periods are 504 ms
		signal(event.SignalMissed)
		r.flagged(1, lost)
		signal(event.SignalLost)
		r.frame.Flags = failed
		for range 8 {
			r.bad()
		}
		signal(event.SignalLost)
		r.frame.Flags = 0
		r.send(3)
		signal(event.SignalLost)
		r.send(1)
		signal(event.SignalLive)
		r.down()
		r.send(1)
		signal("")
	})
}

// run is what a test of Missed wants to know of an event.
type run struct {
	frames int64
	loss   bool
}

func TestMissed(t *testing.T) {
	fresh := func() base.Watcher { return &link.Missed{Tap: 1} }
	for _, c := range []struct {
		name string
		play func(*rig)
		want []run
	}{
		{"before the link", func(r *rig) { r.flagged(50, lost); r.flagged(50, failed); r.send(10) }, nil},
		{"three plain frames make no link", func(r *rig) { r.send(3); r.flagged(3, lost); r.send(10) }, nil},
		{"four do", func(r *rig) { r.send(4); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"not four in all", func(r *rig) { r.send(2); r.flagged(1, lost); r.send(2); r.flagged(3, lost); r.send(10) }, nil},
		{"a damaged frame neither counts nor ends a link in the making",
			func(r *rig) { r.send(2); r.bad(); r.send(2); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"not over yet", func(r *rig) { r.send(4); r.flagged(3, lost) }, nil},
		{"two runs", func(r *rig) { r.send(4); r.flagged(1, lost); r.send(1); r.flagged(2, lost); r.send(1) }, []run{{1, false}, {2, false}}},
		{"one failsafe flag alone settles nothing", func(r *rig) { r.send(4); r.flagged(3, lost); r.flagged(1, failed); r.send(1) }, []run{{4, false}}},
		{"three settle nothing", func(r *rig) { r.send(4); r.flagged(3, lost); r.flagged(3, failed); r.send(1) }, []run{{6, false}}},
		{"four are a loss", func(r *rig) { r.send(4); r.flagged(3, lost); r.flagged(4, failed); r.flagged(5, lost); r.send(1) }, []run{{12, true}}},
		{"behind a loss a link is made anew", func(r *rig) {
			r.send(4)
			r.flagged(4, failed)
			r.send(4)
			r.flagged(1, lost)
			r.send(4)
			r.flagged(2, lost)
			r.send(1)
		}, []run{{4, true}, {1, false}, {2, false}}},
		{"and not before", func(r *rig) {
			r.send(4)
			r.flagged(4, failed)
			r.send(3)
			r.flagged(1, lost)
			r.send(3)
			r.flagged(2, lost)
			r.send(9)
		}, []run{{4, true}}},
		{"as long as a failsafe takes: 1001 ms", func(r *rig) { r.send(4); r.flagged(144, lost); r.send(1) }, []run{{144, true}}},
		{"just shorter: 994 ms", func(r *rig) { r.send(4); r.flagged(143, lost); r.send(1) }, []run{{143, false}}},
		{"before a silence", func(r *rig) { r.send(4); r.flagged(3, lost); r.silence(94 * ms); r.send(9) }, []run{{3, true}}},
		{"a gap of 100 ms is none", func(r *rig) { r.send(4); r.flagged(3, lost); r.silence(93 * ms); r.send(9) }, []run{{3, false}}},
		{"behind a silence of 0.3 s the link goes on", func(r *rig) { r.send(4); r.silence(293 * ms); r.flagged(3, lost); r.send(1) }, []run{{3, false}}},
		{"behind a longer one the receiver may have been off", func(r *rig) { r.send(4); r.silence(294 * ms); r.flagged(3, lost); r.send(9) }, nil},
		{"among presets, which show three frames late", func(r *rig) {
			r.send(9)
			for _, ch := range []int{1, 2, 3} {
				r.put(ch, low)
			}
			r.send(4)
			r.flagged(3, lost)
			r.send(30)
		}, []run{{3, true}}},
		{"a damaged frame neither counts nor ends one", func(r *rig) { r.send(4); r.flagged(2, lost); r.bad(); r.flagged(2, lost); r.send(1) }, []run{{4, false}}},
		{"a tap that goes ends one, and nobody knows how", func(r *rig) { r.send(4); r.flagged(2, lost); r.down() }, []run{{2, true}}},
		{"behind it a link is made anew", func(r *rig) { r.send(4); r.down(); r.send(3); r.flagged(2, lost); r.send(9) }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []run
			for _, e := range reported(t, plain, fresh, c.play) {
				d := e.Data.(event.FramesMissingData)
				got = append(got, run{d.Frames, d.Loss})
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// The sheet says how long a failsafe takes, a second where it does not.
func TestARunAsLongAsAFailsafeTakes(t *testing.T) {
	e := one(t, reported(t, presetSheet, func() base.Watcher { return &link.Missed{Tap: 1} }, func(r *rig) {
		r.send(4)
		r.flagged(73, lost) // 504 ms
		r.send(1)
	}))
	assert.True(t, e.Data.(event.FramesMissingData).Loss)
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
	var first unit.Time
	events := reported(t, plain, func() base.Watcher { return &link.Missed{Tap: 1} }, func(r *rig) {
		r.send(4)
		missing(r, 3)
		first = r.at.Add(10 * period)
		missing(r, 150)
		r.see(&event.Observation{At: r.at, Kind: event.InputEnd})
	})
	require.Len(t, events, 4)
	for i, e := range events[:3] {
		assert.Equal(t, event.FramesMissingData{Frames: 1, LinkFigures: events[i].Data.(event.FramesMissingData).LinkFigures}, e.Data)
	}
	assert.Equal(t, first, events[3].From)
	assert.Equal(t, event.FramesMissingData{Frames: 150, Runs: 150, SpanNS: 149 * 10 * period,
		LinkFigures: event.LinkFigures{LinkFrames: 1532, LinkMissed: 153, LinkNS: 1532 * period}}, events[3].Data)
}

func TestWhenManyRunsAreTold(t *testing.T) {
	run := func(r *rig, frames int) { r.flagged(frames, lost); r.send(1) }
	for name, x := range map[string]struct {
		play func(*rig)
		want []event.FramesMissingData
	}{
		"three at once, then together": {func(r *rig) {
			for _, n := range []int{1, 2, 3, 4, 6, 5} {
				run(r, n)
			}
			r.send(20)
			r.down()
		}, []event.FramesMissingData{{Frames: 1}, {Frames: 2}, {Frames: 3}, {Frames: 15, Runs: 3}}},
		"before a loss": {func(r *rig) {
			for _, n := range []int{1, 1, 1, 2} {
				run(r, n)
			}
			r.flagged(9, failed)
			r.send(9)
		}, []event.FramesMissingData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2, Runs: 1}, {Frames: 9, Loss: true}}},
		"one by one again once it was quiet for ten seconds": {func(r *rig) {
			for range 3 {
				run(r, 1)
			}
			r.send(1428)
			run(r, 2) // 10.010 s after the end of the one before
		}, []event.FramesMissingData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2}}},
		"not before": {func(r *rig) {
			for range 3 {
				run(r, 1)
			}
			r.send(1424)
			run(r, 2)
			r.down()
		}, []event.FramesMissingData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 2, Runs: 1}}},
		"before what was seen is to be seen anew": {func(r *rig) {
			for range 4 {
				run(r, 1)
			}
			r.see(&event.Observation{At: r.at, Kind: event.InputReopen, Data: []byte("link")})
		}, []event.FramesMissingData{{Frames: 1}, {Frames: 1}, {Frames: 1}, {Frames: 1, Runs: 1}}},
	} {
		var got []event.FramesMissingData
		for _, e := range reported(t, plain, func() base.Watcher { return &link.Missed{Tap: 1} }, func(r *rig) { r.send(4); x.play(r) }) {
			d := e.Data.(event.FramesMissingData)
			got = append(got, event.FramesMissingData{Frames: d.Frames, Runs: d.Runs, Loss: d.Loss})
		}
		assert.Equal(t, x.want, got, name)
	}
	m := &link.Missed{Tap: 1, Frames: 2, Date: unit.Time(5 * unit.Second)}
	assert.Equal(t, unit.Time(6*unit.Second), m.Due(), "a run that a silence ends")
	m = &link.Missed{Tap: 1, Wait: event.FramesMissingData{Runs: 2}, Until: unit.Time(15 * unit.Second)}
	assert.Equal(t, unit.Time(15*unit.Second), m.Due(), "runs that wait")
}

const presetSheet = plain + "failsafe: {flag: required, within: 500ms, heard: {default: hold}}\n"

// What stands in a flagged failsafe is reported by Loss.
func TestSettled(t *testing.T) {
	for _, c := range []struct {
		name     string
		play     func(*rig)
		reported int
	}{
		{"once the sheet's time is over, three frames late", func(r *rig) { r.send(9); r.flagged(72+3, failed) }, 1},
		{"not before", func(r *rig) { r.send(9); r.flagged(71+3, failed) }, 0},
		{"not before they stand for 300 ms", func(r *rig) { r.send(9); r.flagged(60, failed); r.put(1, low); r.flagged(43+3, failed) }, 0},
		{"but then", func(r *rig) { r.send(9); r.flagged(60, failed); r.put(1, low); r.flagged(44+3, failed) }, 1},
		{"of a signal that never was", func(r *rig) { r.flagged(200, failed) }, 0},
		{"once a loss where nothing moves", func(r *rig) { r.send(9); r.flagged(900, failed) }, 1},
		{"anew when the values went elsewhere", func(r *rig) { r.send(9); r.flagged(200, failed); r.put(1, low); r.flagged(200, failed) }, 2},
		{"three frames are no elsewhere", func(r *rig) {
			r.send(9)
			r.flagged(200, failed)
			r.put(1, low)
			r.flagged(3, failed)
			r.put(1, middle)
			r.flagged(200, failed)
		}, 1},
		{"three times at most", func(r *rig) {
			r.send(9)
			for n := range uint32(6) {
				r.put(1, low+100*n)
				r.flagged(200, failed)
			}
		}, 3},
		{"three frames without the flag are the same loss", func(r *rig) { r.send(9); r.flagged(200, failed); r.send(3); r.flagged(200, failed) }, 1},
		{"four are the end of it", func(r *rig) { r.send(9); r.flagged(200, failed); r.send(4); r.flagged(200, failed) }, 2},
		{"four frames in a row at least", func(r *rig) { r.send(9); r.flagged(100, lost); r.flagged(3, failed); r.flagged(100, lost) }, 0},
		{"four are enough", func(r *rig) { r.send(9); r.flagged(100, lost); r.flagged(4, failed); r.flagged(100, lost) }, 1},
		{"a tap that went begins anew, with a link", func(r *rig) { r.send(9); r.flagged(200, failed); r.down(); r.send(9); r.flagged(200, failed) }, 2},
		{"and not without", func(r *rig) { r.send(9); r.flagged(200, failed); r.down(); r.flagged(200, failed) }, 1},
		{"behind a silence the receiver may have begun anew", func(r *rig) { r.send(9); r.flagged(20, failed); r.silence(300 * ms); r.flagged(200, failed) }, 0},
		{"lost is no failsafe", func(r *rig) { r.send(9); r.flagged(500, lost) }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, settled(reported(t, presetSheet, newLoss, c.play)), c.reported)
		})
	}
}
