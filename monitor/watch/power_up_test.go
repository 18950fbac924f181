package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

// Only frames whose flags have stood for four are the receiver's, and none behind a
// live link.
func TestPowerUp(t *testing.T) {
	for _, c := range []struct {
		name                  string
		play                  func(*rig)
		frames, flagged, most int64 // most: of the throttle, µs; 0: nothing was looked at
	}{
		{"flagged all the while", func(r *rig) { r.put(3, low); r.flagged(200, failed) }, 200, 200, 987},
		{"the throttle up for four frames", func(r *rig) {
			r.put(3, low)
			r.flagged(100, failed)
			r.put(3, 1400)
			r.flagged(4, failed)
			r.put(3, low)
			r.flagged(100, failed)
		}, 204, 204, 1755},
		{"for three, wrong ones", func(r *rig) {
			r.put(3, low)
			r.flagged(100, failed)
			r.put(3, 1400)
			r.flagged(3, failed)
			r.put(3, low)
			r.flagged(100, failed)
		}, 203, 203, 987},
		{"the transmitter on a few seconds later", func(r *rig) { r.put(3, low); r.flagged(300, failed); r.put(3, 1400); r.send(300) }, 304, 300, 987},
		{"on and gone again", func(r *rig) {
			r.put(3, low)
			r.flagged(300, failed)
			r.send(9)
			r.put(3, 1400)
			r.flagged(300, failed)
		}, 304, 300, 987},
		{"never flagged", func(r *rig) { r.put(3, low); r.send(300) }, 300, 0, 0},
		{"three flags now and then", func(r *rig) {
			for range 50 {
				r.flagged(3, lost)
				r.send(1)
			}
		}, 200, 150, 0},
		{"it sent nothing", func(r *rig) { r.silence(unit.Second) }, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			var on, first unit.Time
			e := one(t, reported(t, plain, func() base.Watcher { return &link.PowerUp{Tap: 1} }, func(r *rig) {
				step := func(id string) {
					r.view.Drill, r.view.Prompt, r.view.PromptAt = drill.PowerUp, "power-up/"+id, r.at
				}
				step(event.PromptOff)
				r.send(20)
				r.silence(unit.Second)
				step(event.PromptOn)
				on = r.at
				r.silence(unit.Second)
				first = r.at.Add(period)
				c.play(r)
				r.see(&event.Observation{At: r.at, Kind: event.InputBeat}) // of a silent line: what waits is given
				r.view.Drill, r.view.Prompt = "", ""
				r.silence(unit.Second)
				r.send(1)
			}))
			d := e.Data.(event.PowerUpData)
			assert.Equal(t, c.frames, d.Frames)
			assert.Equal(t, c.flagged, d.Flagged)
			assert.Equal(t, on, e.From)
			if c.frames > 0 {
				assert.Equal(t, first.Sub(on), d.FirstNS)
			}
			if c.most == 0 {
				assert.Empty(t, d.Channels)
			} else {
				assert.Equal(t, unit.Width(c.most), d.Channels[2].MostNS/1000)
			}
		})
	}
}
