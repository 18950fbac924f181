package watch

import "benchproof.example/monitor/fact"

const (
	heartMoves  = 5           // so many movements make a heartbeat
	heartStands = fact.Second // it stands for so long, at least,
	heartPauses = 3           // and so many times as long as it ever did while it beat
)

// heart follows the channel of a heartbeat: a slow sawtooth, which must move. Two
// frames in a row away from a value make a movement: one settles nothing. How long
// it stands counts in frames that were heard live.
//
//	values   _/-/-/-/-/-_________________/-/-/-
//	                    ^ onset    ^ still ^ moving
type heart struct {
	Have  bool
	Value uint16    // that it stands at
	Since fact.Time // wire time of the first frame there
	Stood fact.Time // so long, live

	Off   int       // frames in a row elsewhere
	First fact.Time // wire time of the first of them
	At    uint16    // where it is by now,
	Came  fact.Time // since

	Moves int       // so far, up to heartMoves
	Pause fact.Time // the longest time that it stood between two
	Backs int       // movements since it was told still
	Again fact.Time // when those began
}

// step takes a live frame and reports a movement. A movement that ends a
// stillness that was told says nothing about the heartbeat's own pauses.
func (h *heart) step(count uint16, wire, passed fact.Time, told bool) bool {
	if !h.Have {
		h.Have, h.Value, h.Since = true, count, wire
		return false
	}
	if count == h.Value {
		h.Off = 0
		h.Stood += passed
		return false
	}
	if h.Off == 0 {
		h.First = wire
	}
	if h.Off == 0 || count != h.At {
		h.At, h.Came = count, wire
	}
	if h.Off++; h.Off < twice {
		return false
	}
	h.moved(wire, told)
	return true
}

func (h *heart) moved(wire fact.Time, told bool) {
	switch {
	case told:
		h.back()
	case h.Moves > 0:
		h.Pause = max(h.Pause, h.Stood)
	}
	h.Moves = min(h.Moves+1, heartMoves+1)
	h.Value, h.Since, h.Stood, h.Off = h.At, h.Came, wire-h.Came, 0
}

// back counts movements that follow one another as a heartbeat's do: a receiver
// that goes to a preset meanwhile moves once.
func (h *heart) back() {
	if h.Backs == 0 || h.Stood >= h.limit() {
		h.Backs, h.Again = 0, h.First
	}
	h.Backs++
}

func (h *heart) again() bool { return h.Backs >= twice }

func (h *heart) limit() fact.Time { return max(heartStands, heartPauses*h.Pause) }

func (h *heart) stopped() bool { return h.Moves >= heartMoves && h.Stood >= h.limit() }
