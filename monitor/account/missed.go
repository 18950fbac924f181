package account

import (
	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// mostSlots is how many slots the missed frames are kept in before they are merged two by two.
const mostSlots = 120

// missed counts what a live link misses: frames in slots of as much live time each, and
// runs by their length.
type missed struct {
	Frames, Missed, Runs  int64
	GapFrames, DamageRuns int64
	Lengths               [len(state.MissedRunBounds) + 1]int64
	Longest               int64

	Seen, SeenMissed int64 // runs of the view's tally, and frames missed, when the latest run ended

	Slots []share.Slot
	Width unit.Duration // live time of a slot: a minute at first
	Now   share.Slot    // the one that is not full
	Full  unit.Duration // live time in it

	Minutes, Hit int64         // of live time, and those in which a frame was missed
	Minute       unit.Duration // live time of the one under way,
	MinuteMissed int64         // and frames missed in it
}

// add takes what a piece of time added.
func (m *missed) add(grown *state.LinkTally, live bool, passed unit.Duration) {
	m.Frames += grown.LinkFrames
	m.Missed += grown.LinkMissed
	m.GapFrames += grown.GapFrames
	m.DamageRuns += grown.DamageRuns
	m.Now.Frames += grown.LinkFrames
	m.Now.Missed += grown.LinkMissed
	m.MinuteMissed += grown.LinkMissed
	if !live {
		return
	}
	m.minute(passed)
	if m.Full += passed; m.Full < m.Width {
		return
	}
	m.Slots = append(m.Slots, m.Now)
	m.Now, m.Full = share.Slot{}, 0
	if len(m.Slots) == mostSlots {
		for i := range mostSlots / 2 {
			a, b := m.Slots[2*i], m.Slots[2*i+1]
			m.Slots[i] = share.Slot{Missed: a.Missed + b.Missed, Frames: a.Frames + b.Frames}
		}
		m.Slots, m.Width = m.Slots[:mostSlots/2], 2*m.Width
	}
}

// minute counts live time in minutes.
func (m *missed) minute(passed unit.Duration) {
	if m.Minute += passed; m.Minute < unit.Minute {
		return
	}
	m.Minutes++
	if m.MinuteMissed > 0 {
		m.Hit++
	}
	m.Minute, m.MinuteMissed = 0, 0
}

// run looks whether a run of missed frames ended with this frame.
func (m *missed) run(tally *state.LinkTally, aside bool) {
	if tally.LinkMissedRuns == m.Seen {
		return
	}
	length := tally.LinkMissed - m.SeenMissed
	one := tally.LinkMissedRuns == m.Seen+1
	m.Seen, m.SeenMissed = tally.LinkMissedRuns, tally.LinkMissed
	if aside || !one {
		return
	}
	m.Runs++
	i := 0
	for i < len(state.MissedRunBounds) && length > state.MissedRunBounds[i] {
		i++
	}
	m.Lengths[i]++
	m.Longest = max(m.Longest, length)
}

// resume leaves out what the view counted meanwhile.
func (m *missed) resume(tally *state.LinkTally) {
	m.Seen, m.SeenMissed = tally.LinkMissedRuns, tally.LinkMissed
}
