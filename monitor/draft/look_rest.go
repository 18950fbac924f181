package draft

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

const (
	restsFor             = 3500 * unit.Millisecond // with all hands off
	beatLeast unit.Width = 20_000                  // ns that a heartbeat moves in that time
)

// lookRest finds where all channels stand with hands off, and those that move by themselves: all others stand still
// while they never do.
func (c *Conversation) lookRest(at unit.Time) {
	var beats []int
	standing := 0
	for n := 1; n <= c.Heard.channels(); n++ {
		t := c.track(n)
		_, stands := t.stands(restsFor)
		switch {
		case stands:
			standing++
		case len(t.Stands) == 0 && at.Sub(t.asked) >= restsFor && t.Most-t.Least >= beatLeast:
			beats = append(beats, n)
		default:
			return
		}
	}
	if standing == 0 {
		return
	}
	var rest []unit.Width
	for n := 1; n <= c.Heard.channels(); n++ {
		rest = append(rest, c.track(n).rest.Width)
	}
	for _, n := range beats {
		c.say("Channel %d moves by itself: a heartbeat.", n)
	}
	c.done(func(m *Model) {
		m.Rest, m.Beats = rest, beats
	})
	c.Heard.follow(func(n int) bool { return len(beats) > 0 && beats[0] == n || c.Model.taken(n) == keyTeach })
}

// String is a place as sentences have it, with its doubt.
func (p *Place) String() string {
	text := unit.FormatWidth(p.Width)
	if p.Spread > 0 {
		text += fmt.Sprintf(" (seen %d times, %s apart)", p.Times, unit.FormatWidth(p.Spread))
	}
	return text
}
