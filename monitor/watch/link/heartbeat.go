package link

import "benchproof.example/monitor/unit"

const (
	heartbeatMoves  = 5           // this many movements make a heartbeat
	heartbeatAgain  = 2           // and this many, that it beats again: a receiver that goes to a preset moves once
	heartbeatStands = unit.Second // it stands for this long, at least,
	heartbeatPauses = 3           // and this many times as long as it ever did while it beat
)

// heartbeatState follows the channel of a heartbeat: a slow sawtooth, which must move. How long
// it stands counts in frames that were heard live.
//
//	values   _/-/-/-/-/-_________________/-/-/-
//	                    ^ onset    ^ still ^ moving
type heartbeatState struct {
	Have  bool
	Value uint32        // that it stands at
	Since unit.Time     // wire time of the first frame there
	Stood unit.Duration // this long, live

	Moves int           // so far, up to heartbeatMoves
	Pause unit.Duration // the longest time that it stood between two
	Backs int           // movements since it was reported still
	Again unit.Time     // when those began
}

// step takes a live frame and reports a movement. passed is the time since the frame
// before, 0 where that was not heard. A movement that ends a stillness that was reported
// says nothing about the heartbeat's own pauses.
func (h *heartbeatState) step(count uint32, wire unit.Time, passed unit.Duration, told bool) bool {
	if !h.Have {
		h.Have, h.Value, h.Since = true, count, wire
		return false
	}
	if count == h.Value {
		h.Stood += passed
		return false
	}
	switch {
	case told:
		h.back(wire)
	case h.Moves > 0:
		h.Pause = max(h.Pause, h.Stood)
	}
	h.Moves = min(h.Moves+1, heartbeatMoves+1)
	h.Value, h.Since, h.Stood = count, wire, 0
	return true
}

// back counts movements that follow one another as a heartbeat's do.
func (h *heartbeatState) back(wire unit.Time) {
	if h.Backs == 0 || h.Stood >= h.limit() {
		h.Backs, h.Again = 0, wire
	}
	h.Backs++
}

func (h *heartbeatState) beatAgain() bool { return h.Backs >= heartbeatAgain }

func (h *heartbeatState) limit() unit.Duration { return max(heartbeatStands, heartbeatPauses*h.Pause) }

// stopped reports that it has stood for too long, and for so long that a flag which
// the sheet waits for would have come.
func (h *heartbeatState) stopped(within unit.Duration) bool {
	return h.Moves >= heartbeatMoves && h.Stood >= max(h.limit(), within)
}
