package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

func newLink() base.Watcher { return &link.Link{Tap: 1} }

// A loss is reported after half a second without a live frame, whatever flag says so, and
// its end with the fourth live frame.
func TestLink(t *testing.T) {
	gone, back := []string{event.LinkLost}, []string{event.LinkLost, event.LinkRestored}
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"497 ms from the first to the last", func(r *rig) { r.send(9); r.flagged(72, lost); r.send(9) }, []string{}},
		{"504 ms", func(r *rig) { r.send(9); r.flagged(73, lost) }, gone},
		{"both flags in turns", func(r *rig) {
			r.send(9)
			for range 40 {
				r.flagged(1, lost)
				r.flagged(1, failed)
			}
		}, gone},
		{"one live frame in between", func(r *rig) { r.send(9); r.flagged(70, lost); r.send(1); r.flagged(70, lost) }, []string{}},
		{"four live frames end it", func(r *rig) { r.send(9); r.flagged(80, lost); r.send(4) }, back},
		{"three do not", func(r *rig) { r.send(9); r.flagged(80, lost); r.send(3); r.flagged(80, lost); r.send(3) }, gone},
		{"told once", func(r *rig) { r.send(9); r.flagged(900, lost) }, gone},
		{"and again for another", func(r *rig) { r.send(9); r.flagged(80, lost); r.send(4); r.flagged(80, lost) }, append(back, gone...)},
		{"what never was is not lost", func(r *rig) { r.flagged(900, lost); r.send(9) }, []string{}},
		{"three live frames are no link", func(r *rig) { r.send(3); r.flagged(900, lost) }, []string{}},
		{"a failsafe flag says it", func(r *rig) { r.send(9); r.flagged(4, failed); r.flagged(100, lost); r.send(9) }, []string{}},
		{"one that comes later says when it is over", func(r *rig) { r.send(9); r.flagged(80, lost); r.flagged(4, failed); r.send(9) }, gone},
		{"three failsafe flags say nothing", func(r *rig) { r.send(9); r.flagged(3, failed); r.send(9) }, []string{}},
		{"behind a silence flags are neither proof nor fault", func(r *rig) { r.send(9); r.silence(94 * ms); r.flagged(900, lost); r.send(9) }, []string{}},
		{"a gap of 100 ms is none", func(r *rig) { r.send(9); r.silence(93 * ms); r.flagged(80, lost); r.send(9) }, back},
		{"a silence in a loss ends what is known", func(r *rig) { r.send(9); r.flagged(80, lost); r.silence(unit.Second); r.flagged(80, lost) }, gone},
		{"damaged frames say nothing", func(r *rig) {
			r.send(9)
			r.frame.Flags = lost
			for range 100 {
				r.bad()
			}
			r.frame.Flags = 0
			r.send(9)
		}, []string{}},
		{"a tap that went", func(r *rig) { r.send(9); r.flagged(80, lost); r.down(); r.send(9) }, gone},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(reported(t, plain, newLink, c.play)))
		})
	}
}

func TestLinkTimes(t *testing.T) {
	var live, first, again unit.Time
	events := reported(t, plain, newLink, func(r *rig) {
		r.send(20)
		live = r.at
		first = r.flagged(100, lost)
		r.send(3)
		r.flagged(2, lost)
		again = r.send(9)
	})
	require.Len(t, events, 2)
	assert.Equal(t, event.Event{At: first.Add(72 * period), From: live, Kind: event.LinkLost, About: "tap:main",
		Data: event.LinkData{LiveNS: live, LostNS: 73 * period}}, events[0])
	assert.Equal(t, event.Event{At: again.Add(3 * period), From: again, Kind: event.LinkRestored, About: "tap:main",
		Data: event.LinkData{LiveNS: again, LostNS: again.Sub(live)}}, events[1])
}
