package draft

import (
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

// goesQuiet is how long no frame may come until what is asked for is asked for again.
const goesQuiet = unit.Second

// isHole is for how long no frame may come until those before it say nothing of those behind it.
const isHole = 100 * unit.Millisecond

// Hearing is what is made of frames and pulses: of each channel its track, of the bus its period and flags, and what
// moves the outputs.
type Hearing struct {
	Frames   int64
	Damaged  int64
	Flagged  int64 // that the receiver did not hear, or sent in failsafe
	Failsafe int64 // of those
	Steps    []unit.Duration
	Outputs  []int // numbers, ascending
	Log      mix.Log
	Stills   map[int]*Stills // by output
	Last     unit.Time       // of the last frame

	protocol *bus.Protocol
	steers   bool // a stick is asked for, or the throttle
	tracks   [bus.MaxChannels + bus.MaxDigital]Track
	shift    unit.Duration // between the times that are given and those that are kept: a draft that goes on has a clock of its own
	given    bool          // a frame was, since it was made or goes on
	still    Widths        // at which the channels stand that are followed
	since    unit.Time     // they do
	whole    bool          // a frame was taken that said what the transmitter sends
	window   [median.Window]Widths
	filled   int
}

// Frame takes a frame; at is its time on the wire. It reports whether a break was before it.
func (h *Hearing) Frame(at unit.Time, f *bus.Frame) (broken bool) {
	if f.Bad {
		h.Damaged++
		return false
	}
	at = at.Add(h.shift)
	broken = h.given && at.Sub(h.Last) > goesQuiet
	if h.given && at.Sub(h.Last) > isHole {
		h.filled, h.since = 0, at
	}
	if broken {
		h.leave()
	}
	h.step(at)
	h.Frames++
	switch {
	case f.Failsafe():
		h.Failsafe, h.Flagged, h.filled = h.Failsafe+1, h.Flagged+1, 0
		h.Log.Break()
		return broken
	case f.Lost(): // it repeats what was heard before
		h.Flagged++
		return broken
	}
	var w Widths
	for c := range h.channels() {
		w[c] = h.width(f, c)
	}
	h.clean(at, &w)
	h.movement(at, &w)
	return broken
}

// leave ends where the channels stood: nobody knows where they were since.
func (h *Hearing) leave() {
	for c := range h.tracks {
		h.tracks[c].rest = tally{}
	}
}

const stepsKept = 64

func (h *Hearing) step(at unit.Time) {
	if h.given && at > h.Last {
		if h.Steps = append(h.Steps, at.Sub(h.Last)); len(h.Steps) > stepsKept {
			h.Steps = append(h.Steps[:0], h.Steps[1:]...)
		}
	}
	h.given, h.Last = true, max(h.Last, at)
}

// Period is the time from frame to frame that most of them have, 0: not known.
func (h *Hearing) Period() unit.Duration {
	if len(h.Steps) == 0 {
		return 0
	}
	steps := slices.Clone(h.Steps)
	slices.Sort(steps)
	return steps[len(steps)/2]
}

func (h *Hearing) channels() int { return h.protocol.LastChannel() }

// What stands for the two states of a digital channel, which has no width (a published standard scale has 0 % and
// 100 % there: the MAVLink common message set).
const (
	digitalOff unit.Width = 1_000_000
	digitalOn  unit.Width = 2_000_000
)

// width is that of a channel, from 0.
func (h *Hearing) width(f *bus.Frame, c int) unit.Width {
	if c < h.protocol.Channels {
		return unit.Width(h.protocol.Scale.Width(int64(f.Counts[c])))
	}
	if f.Digital(c - h.protocol.Channels) {
		return digitalOn
	}
	return digitalOff
}

// clean gives each track the middle one of seven widths: what fewer than four frames have is nobody's.
func (h *Hearing) clean(at unit.Time, w *Widths) {
	copy(h.window[:], h.window[1:])
	h.window[len(h.window)-1] = *w
	if h.filled++; h.filled < len(h.window) {
		return
	}
	var middle Widths
	for c := range h.channels() {
		var column [median.Window]unit.Width
		for i := range h.window {
			column[i] = h.window[i][c]
		}
		middle[c] = median.Of(column[:])
	}
	h.whole = true
	h.stillness(at, &middle)
	for c := range h.channels() {
		h.tracks[c].take(at, middle[c], &middle)
	}
}

// goOn prepares for frames that are dated by another clock, behind what was heard before.
func (h *Hearing) goOn(p *bus.Protocol) {
	const apart = unit.Minute
	h.protocol, h.shift = p, h.Last.Sub(0)+apart
	h.Log.Break()
}

// stillness follows since when the channels stand that are followed.
func (h *Hearing) stillness(at unit.Time, w *Widths) {
	moved := false
	for _, x := range h.Log.Channels {
		moved = moved || unit.Abs(w[x.Number-1]-h.still[x.Number-1]) > flicker
	}
	if !moved {
		return
	}
	h.since = at
	for _, x := range h.Log.Channels {
		h.still[x.Number-1] = w[x.Number-1]
	}
}

// begin has the tracks begin anew, for a question.
func (h *Hearing) begin() {
	for c := range h.tracks {
		h.tracks[c].begin(h.Last)
	}
}

// Follow begins to look for what moves the outputs: every channel but those.
func (h *Hearing) follow(but func(channel int) bool) {
	var list []mix.Channel
	for c := range h.protocol.Channels {
		if !but(c + 1) {
			list = append(list, mix.Channel{Number: c + 1, Neutral: h.tracks[c].now, Centred: true})
		}
	}
	h.Log.Begin(list)
}

// movement keeps what moves while the controls are asked for that move outputs: what else moves would take the room.
func (h *Hearing) movement(at unit.Time, w *Widths) {
	if len(h.Log.Channels) == 0 {
		return
	}
	if !h.steers {
		h.Log.Break()
		return
	}
	widths := make([]unit.Width, len(h.Log.Channels))
	for i := range widths {
		widths[i] = w[h.Log.Channels[i].Number-1]
	}
	h.Log.Frame(at, widths)
}

// Pulse takes a pulse of an output; rise is on the clock of the frames.
func (h *Hearing) Pulse(output int, rise unit.Time, width unit.Width) {
	if output < 1 || output > mix.MaxOutputs {
		return
	}
	if i, known := slices.BinarySearch(h.Outputs, output); !known {
		h.Outputs = slices.Insert(h.Outputs, i, output)
	}
	if len(h.Log.Channels) == 0 || !h.steers {
		return
	}
	rise = rise.Add(h.shift)
	h.Log.Pulse(output, rise, width)
	if rise.Sub(h.since) >= stillFor {
		if h.Stills == nil {
			h.Stills = map[int]*Stills{}
		}
		if h.Stills[output] == nil {
			h.Stills[output] = &Stills{}
		}
		h.Stills[output].add(h.since, &h.still, width)
	}
}
