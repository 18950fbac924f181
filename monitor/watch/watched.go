package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	frameTakes = 3 * fact.Millisecond   // a frame on the wire (arithmetic): nearer to another it was delivered late
	spellPause = fact.Second            // without movement ends a spell
	spellLeast = 100 * fact.Millisecond // less, such as a switch or a wrong frame, is no spell
	beatPause  = 5 * fact.Second        // longer between two movements a heartbeat does not beat
	levelApart = 20_000                 // ns of width between two levels
	levelSame  = 2_500                  // and within one
)

// Watched measures how much of what was heard could have shown a fault: that
// something never happened says nothing where it could not have been seen. It tells
// so when the stretch ends. Only a live link counts, and only frames that may be
// believed: neither flagged nor damaged, not after a jump of many channels, not in
// a loss, not delivered late.
//
//	link     ....|===================|     |=================
//	sticks         /\/\__/\_______/\            /\/\/\
//	spells         |-------|      |-|           |----|        told
//	             ^ onset
type Watched struct {
	Tap  uint8
	Told fact.WatchedData // so far
	From fact.Time        // wire time of the first frame that counts; only with some time told

	Have   bool      // the frame before may be believed
	Wire   fact.Time // of the latest believed frame
	Counts [servobus.Channels]uint16
	Rest   [servobus.Channels]uint16 // from where a movement is measured

	Spell bool // a spell of movement is under way,
	Began fact.Time
	Until fact.Time // and lasts so far

	Heart  uint16    // that the heartbeat's channel stands at
	Off    int       // frames in a row elsewhere
	Beat   fact.Time // wire time of its latest movement; only with Beats
	Beats  int       // movements without a pause, up to heartMoves
	Levels []levels  // of the sheet's channels, in its order
}

// levels are where a channel stood.
type levels struct {
	Seen   bool
	First  int64     // width of the first level, ns; only with Seen
	Moved  bool      // and another was seen
	At     int64     // where it is now
	Since  fact.Time // wire time of the first frame there
	Frames int
}

// See implements Watcher.
func (w *Watched) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case over(o, w.Tap), changed(o):
		w.tell(v, emit)
	case judged(o, w.Tap):
		w.frame(o, v)
	}
}

func (w *Watched) frame(o *fact.Observation, v *View) {
	switch {
	case v.Taps[w.Tap].doubtful(), w.late(o):
		w.pause()
		return
	case signalOf(o.Frame) != fact.Live: // missed on a live link: the frames beside it may be near enough
		return
	case w.Have && o.Wire-w.Wire > apart:
		w.pause()
	}
	if w.Have {
		w.Told.LiveNS += o.Wire - w.Wire
		w.moves(o, v.Sheet.Heartbeat)
	} else {
		w.begin(o, v.Sheet)
	}
	w.Have, w.Wire, w.Counts = true, o.Wire, o.Frame.Counts
	for i := range w.Levels {
		w.Levels[i].stand(Width(v.Sheet, o.Frame, v.Sheet.Channels[i].Number), o.Wire)
	}
}

// doubtful reports that what a tap's frames carry is not known to be the transmitter's.
func (t *Tap) doubtful() bool {
	return !t.Linked || t.Signal == fact.Failsafe || t.Suspect || t.Loss != ""
}

// late reports that a frame was delivered long after it was on the wire, or at once
// with others: nobody knows when it was there.
func (w *Watched) late(o *fact.Observation) bool {
	return o.At-o.Wire > apart || w.Have && o.Wire-w.Wire < frameTakes
}

// pause ends what went on until here.
func (w *Watched) pause() {
	w.Have = false
	w.endSpell()
	for i := range w.Levels {
		w.Levels[i].Frames = 0
	}
}

// begin takes a believed frame that has none before it.
func (w *Watched) begin(o *fact.Observation, s *sheet.Sheet) {
	if w.Told.LiveNS == 0 {
		w.From = o.Wire
	}
	w.Rest, w.Beats, w.Off = o.Frame.Counts, 0, 0
	if s.Heartbeat != nil {
		w.Heart = o.Frame.Counts[s.Heartbeat.Channel-1]
	}
	if len(w.Levels) != len(s.Channels) {
		w.Levels = make([]levels, len(s.Channels))
	}
}

// moves looks whether anything moved since the frame before.
func (w *Watched) moves(o *fact.Observation, beat *sheet.Heartbeat) {
	if beat != nil {
		w.beats(o.Frame.Counts[beat.Channel-1], o.Wire)
	}
	if o.Frame.Counts == w.Counts {
		return
	}
	moved := false
	for ch, c := range o.Frame.Counts {
		if beat != nil && beat.Channel == ch+1 {
			continue
		}
		if abs(int64(c)-int64(w.Rest[ch])) >= singleCounts {
			w.Rest[ch], moved = c, true
		}
	}
	if !moved {
		return
	}
	if w.Spell && o.Wire-w.Until >= spellPause {
		w.endSpell()
	}
	if !w.Spell {
		w.Spell, w.Began = true, o.Wire
	}
	w.Until = o.Wire
}

func (w *Watched) endSpell() {
	if w.Spell && w.Until-w.Began >= spellLeast {
		w.Told.Spells++
		w.Told.MovingNS += w.Until - w.Began
	}
	w.Spell = false
}

// beats follows the heartbeat's channel, as heart does: four frames away from a
// value make a movement, and so many movements a heartbeat.
func (w *Watched) beats(count uint16, wire fact.Time) {
	if count == w.Heart {
		w.Off = 0
		return
	}
	if w.Off++; w.Off < leastFrames {
		return
	}
	passed := wire - w.Beat
	if w.Beats > 0 && passed > beatPause {
		w.Beats = 0
	}
	if w.Beats >= heartMoves {
		w.Told.BeatingNS += passed
	}
	w.Beats = min(w.Beats+1, heartMoves)
	w.Heart, w.Off, w.Beat = count, 0, wire
}

// stand takes the next width of a channel.
func (l *levels) stand(width int64, wire fact.Time) {
	if l.Frames == 0 || abs(width-l.At) > levelSame {
		l.At, l.Since, l.Frames = width, wire, 0
	}
	if l.Frames++; l.Moved || l.Frames < settleFrames || wire-l.Since < settleTime {
		return
	}
	if !l.Seen {
		l.Seen, l.First = true, l.At
	}
	l.Moved = abs(l.At-l.First) >= levelApart
}

// tell ends the stretch.
func (w *Watched) tell(v *View, emit fact.Emit) {
	w.pause()
	t := &v.Taps[w.Tap]
	d, from := w.Told, w.From
	d.Tap, d.Air, d.Moved = t.Name, t.Air, []int{}
	for i := range w.Levels {
		if w.Levels[i].Moved {
			d.Moved = append(d.Moved, v.Sheet.Channels[i].Number)
		}
	}
	*w = Watched{Tap: w.Tap}
	t.Air = fact.Air{}
	if d.LiveNS > 0 || d.LinkFrames > 0 {
		emit(fact.BusWatched, from, t.About(), d)
	}
}

// Due implements Watcher.
func (w *Watched) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (w *Watched) Expire(fact.Time, *View, fact.Emit) {}
