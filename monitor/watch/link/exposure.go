package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	spellPause = unit.Second            // without movement ends a spell
	spellLeast = 100 * unit.Millisecond // less, such as a switch or a wrong frame, is no spell
	beatPause  = 5 * unit.Second        // longer between two movements a heartbeat does not beat
	levelApart = 20_000                 // ns of width between two levels
	levelSame  = 2_500                  // and within one
)

// Exposure measures how much of what was heard could have shown a fault: that
// something never happened says nothing where it could not have been seen. It reports
// so when the stretch ends. Only a live link counts, and only frames that may be
// believed: neither flagged nor damaged, not after a jump of many channels, not in
// a loss, not delivered late.
//
//	link     ....|===================|     |=================
//	sticks         /\/\__/\_______/\            /\/\/\
//	spells         |-------|      |-|           |----|        reported
//	             ^ onset
type Exposure struct {
	Tap      uint8
	Reported event.ExposureData // this far
	From     unit.Time          // wire time of the first frame that counts; only with some time reported

	Have   bool      // the frame before may be believed
	Wire   unit.Time // of the latest believed frame
	Counts bus.Counts
	Rest   bus.Counts // from where a movement is measured

	Spell bool // a spell of movement is under way,
	Began unit.Time
	Until unit.Time // and lasts this far

	Heartbeat uint32    // that the heartbeat's channel stands at
	Beat      unit.Time // wire time of its latest movement; only with Beats
	Beats     int       // movements without a pause, up to heartbeatMoves
	Levels    []levels  // of the sheet's channels, in its order
}

// levels are where a channel stood.
type levels struct {
	Seen   bool
	First  unit.Width // width of the first level, ns; only with Seen
	Moved  bool       // and another was seen
	At     unit.Width // where it is now
	Since  unit.Time  // wire time of the first frame there
	Frames int
}

// See implements Watcher.
func (w *Exposure) See(o *event.Observation, v *base.View, emit event.Emit) {
	samples := v.Cleaned(w.Tap).Ready
	for i := range samples {
		w.sample(&samples[i], v)
	}
	if h := &v.Taps[w.Tap].UnflaggedHold; h.From != 0 && h.Because != becauseHeartbeat { // what was heard as live was not
		w.Reported.LiveNS = max(0, w.Reported.LiveNS-h.To.Sub(h.From))
	}
	if base.TapClosed(o, w.Tap) || changed(o, v) {
		w.report(v, emit)
	}
}

func (w *Exposure) sample(s *base.CleanFrame, v *base.View) {
	switch {
	case v.Taps[w.Tap].Doubtful(), w.late(s, v):
		w.pause()
		return
	case s.Flags&(bus.Lost|bus.Failsafe) != 0: // missed on a live link: the frames beside it may be near enough
		return
	case w.Have && s.Wire.Sub(w.Wire) > base.MaxFrameStep:
		w.pause()
	}
	moved := base.AllChannels
	if w.Have {
		w.Reported.LiveNS += s.Wire.Sub(w.Wire)
		if moved = base.Changed(&s.Counts, &w.Counts); moved != 0 {
			w.moves(s, moved, v)
		}
	} else {
		w.begin(s, v.Sheet)
	}
	w.stand(s, moved, v.Sheet)
	w.Have, w.Wire = true, s.Wire
	if moved != 0 {
		w.Counts = s.Counts
	}
}

// stand takes where the channels stand, of which some moved; the digital ones may have.
func (w *Exposure) stand(x *base.CleanFrame, moved base.ChannelSet, s *sheet.Sheet) {
	f := bus.Frame{Flags: x.Flags}
	for i := range w.Levels {
		l, n := &w.Levels[i], s.Channels[i].Number
		width := l.At
		switch {
		case s.Digital(n):
			width = base.Width(s, &f, n)
		case moved&(1<<(n-1)) != 0:
			width = s.Width(x.Counts[n-1])
		}
		l.stand(width, x.Wire)
	}
}

// late reports that a frame was delivered at once with others, nearer to the one before
// than a frame takes on the wire: nobody knows when it was there.
func (w *Exposure) late(s *base.CleanFrame, v *base.View) bool {
	return w.Have && s.Wire.Sub(w.Wire) < v.FrameTime
}

// pause ends what went on until here.
func (w *Exposure) pause() {
	if w.Have && w.Beats >= heartbeatMoves { // what came since it beat may not have been live
		w.Reported.LiveNS -= w.Wire.Sub(w.Beat)
	}
	w.Have = false
	w.endSpell()
	for i := range w.Levels {
		w.Levels[i].Frames = 0
	}
}

// begin takes a believed frame that has none before it.
func (w *Exposure) begin(x *base.CleanFrame, s *sheet.Sheet) {
	if w.Reported.LiveNS == 0 {
		w.From = x.Wire
	}
	w.Rest, w.Beats = x.Counts, 0
	if s.Heartbeat != nil {
		w.Heartbeat = x.Counts[s.Heartbeat.Channel-1]
	}
	if len(w.Levels) != len(s.Channels) {
		w.Levels = make([]levels, len(s.Channels))
	}
}

// moves takes a frame in which channels moved since the one before: the others are as far from
// where they rested as then.
func (w *Exposure) moves(s *base.CleanFrame, moved base.ChannelSet, v *base.View) {
	if beat := v.Sheet.Heartbeat; beat != nil {
		w.beats(s.Counts[beat.Channel-1], s.Wire)
		moved &^= base.SetOf(v.Protocol, beat.Channel)
	}
	far := false
	for moved != 0 {
		ch := moved.Pop()
		if c := s.Counts[ch]; unit.Abs(int64(c)-int64(w.Rest[ch])) >= singleCounts*int64(v.Quantum) {
			w.Rest[ch], far = c, true
		}
	}
	if !far {
		return
	}
	if w.Spell && s.Wire.Sub(w.Until) >= spellPause {
		w.endSpell()
	}
	if !w.Spell {
		w.Spell, w.Began = true, s.Wire
	}
	w.Until = s.Wire
}

func (w *Exposure) endSpell() {
	if w.Spell && w.Until.Sub(w.Began) >= spellLeast {
		w.Reported.Spells++
		w.Reported.MovingNS += w.Until.Sub(w.Began)
	}
	w.Spell = false
}

// beats follows the heartbeat's channel, as heartbeatState does: a number of movements make a
// heartbeat.
func (w *Exposure) beats(count uint32, wire unit.Time) {
	if count == w.Heartbeat {
		return
	}
	passed := wire.Sub(w.Beat)
	if w.Beats > 0 && passed > beatPause {
		w.Beats = 0
	}
	if w.Beats >= heartbeatMoves {
		w.Reported.BeatingNS += passed
	}
	w.Beats = min(w.Beats+1, heartbeatMoves)
	w.Heartbeat, w.Beat = count, wire
}

// stand takes the next width of a channel.
func (l *levels) stand(width unit.Width, wire unit.Time) {
	if l.Frames == 0 || unit.Abs(width-l.At) > levelSame {
		l.At, l.Since, l.Frames = width, wire, 0
	}
	if l.Frames++; l.Moved || l.Frames < base.SettleFrames || wire.Sub(l.Since) < base.SettleTime {
		return
	}
	if !l.Seen {
		l.Seen, l.First = true, l.At
	}
	l.Moved = unit.Abs(l.At-l.First) >= levelApart
}

// report ends the stretch.
func (w *Exposure) report(v *base.View, emit event.Emit) {
	w.pause()
	t := &v.Taps[w.Tap]
	d, from := w.Reported, w.From
	d.Tap, d.LinkFigures, d.Moved = t.Name, t.Exposure, []int{}
	for i := range w.Levels {
		if w.Levels[i].Moved {
			d.Moved = append(d.Moved, v.Sheet.Channels[i].Number)
		}
	}
	*w = Exposure{Tap: w.Tap}
	t.Exposure = event.LinkFigures{}
	if d.LiveNS > 0 || d.LinkFrames > 0 {
		emit(event.BusExposure, from, t.About(), d)
	}
}

// Rests implements base.Sleeper: nothing moves.
func (w *Exposure) Rests(c base.Calm, _ *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || !w.Have {
		return 0, 0
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (w *Exposure) Pass(n int, c base.Calm, _ *base.View) {
	w.Reported.LiveNS += c.Cleaned().Sub(w.Wire)
	w.Wire = c.Cleaned()
	for i := range w.Levels {
		l := &w.Levels[i]
		l.Frames += n - 1
		l.stand(l.At, w.Wire)
	}
}
