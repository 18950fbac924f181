package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

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

func TestMissed(t *testing.T) {
	fresh := func() watch.Watcher { return &watch.Missed{Tap: 1} }
	for _, c := range []struct {
		name string
		play func(*rig)
		want []int64 // frames of each run
	}{
		{"before the link", func(r *rig) { r.flagged(50, lost); r.flagged(50, failed); r.send(10) }, nil},
		{"after it", func(r *rig) { r.send(1); r.flagged(3, lost); r.send(1) }, []int64{3}},
		{"not over yet", func(r *rig) { r.send(1); r.flagged(3, lost) }, nil},
		{"of both kinds", func(r *rig) {
			r.send(1)
			r.flagged(3, lost)
			r.flagged(4, failed)
			r.flagged(5, lost|failed)
			r.send(1)
		}, []int64{12}},
		{"two runs", func(r *rig) { r.send(1); r.flagged(1, lost); r.send(1); r.flagged(2, lost); r.send(1) }, []int64{1, 2}},
		{"a damaged frame neither counts nor ends one", func(r *rig) { r.send(1); r.flagged(2, lost); r.bad(); r.flagged(2, lost); r.send(1) }, []int64{4}},
		{"a tap that goes ends one", func(r *rig) { r.send(1); r.flagged(2, lost); r.down() }, []int64{2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []int64
			for _, e := range told(t, plain, fresh, c.play) {
				got = append(got, e.Data.(fact.RunData).Frames)
			}
			assert.Equal(t, c.want, got)
		})
	}
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
