package leads

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	leadPeriods = 5                      // an output is silent after about five periods,
	leadLeast   = 100 * unit.Millisecond // 100 ms at least
	leadBack    = 3                      // pulses in a row that are more than noise
	leadLongest = 100 * unit.Millisecond // period of such
	leadSpoke   = 2                      // lines of the board itself without a pulse in between
	leadSpeaks  = 500 * unit.Millisecond // nearer than that they are one: a board that begins anew says several at once
)

// OutputSilence says when the pulses of an output come and when they stop. Lines of a
// board come in the order in which things happened, so what is read later than the
// missing pulse was due, of another output or of the board itself (it speaks each
// second: two such lines are a second apart), shows that board and cable go on. How
// late the computer reads does not matter. The output's own next pulse shows it as well: it
// has the board's time. What may have been in lost lines is not taken to be absent.
//
//	output 1  | | | |                        | | |
//	output 2  | | | | | | | | | | | | | | |  | | |
//	                ^ onset     ^ silent     ^ back
type OutputSilence struct {
	Tap     uint8
	Outputs event.ByOutput[outputLine]
	Epoch   int           // of the board's clock
	Excused bool          // lines were lost since the latest pulse
	Date    unit.Time     // of the board's latest line
	Said    unit.Time     // of its latest line about itself that counted
	Quiet   bool          // none was read for a while, and no pulse since says whether the board stood still
	Latest  unit.Duration // falling edge of the latest pulse; board clock, ns

	due unit.Duration // no output is overdue before; board clock, 0: not known
}

// outputLine is what is known of one output.
type outputLine struct {
	Output int
	Known  bool          // it was heard in this session,
	Heard  bool          // is heard,
	Silent bool          // or its silence was reported
	Fall   unit.Duration // of its latest pulse while heard, or when the wait began anew; board clock, ns
	Wire   unit.Time     // of that pulse
	Last   boardDate     // and its falling edge
	Period unit.Duration // shorter of its latest two, 0: not known
	Latest unit.Duration // the latest
	Spoke  int           // lines of the board itself since
	Run    int           // pulses in a row while not heard
	First  unit.Time     // of those
	Begun  boardDate     // and its falling edge
}

// boardDate is an instant by a clock of the board.
type boardDate struct {
	Epoch int
	At    unit.Duration
}

// boardOff is the part, one in so many, that a board's clock may be off by: no resonator is
// (one of ceramic is within half of it, from memory).
const boardOff = 100

// See implements Watcher.
func (s *OutputSilence) See(o *event.Observation, _ *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, s.Tap):
		s.unheard()
	case o.Tap != s.Tap:
	case o.Kind == event.LinesLost:
		s.excuse()
	case o.Kind == event.BoardStatus:
		s.alive(o)
		if o.At.Sub(s.Said) >= leadSpeaks {
			s.Said = o.At
			s.spoke(emit)
		}
	case o.Kind == event.PulseSeen:
		s.alive(o)
		s.pulse(o, emit)
	}
}

// unheard: nobody listened for a while.
func (s *OutputSilence) unheard() {
	for i := range s.Outputs.List {
		s.Outputs.List[i].Heard, s.Outputs.List[i].Run = false, 0
	}
	s.excuse()
}

func (s *OutputSilence) excuse() {
	s.Excused = true
	for i := range s.Outputs.List {
		s.Outputs.List[i].Spoke = 0
	}
}

// alive takes note of a line.
func (s *OutputSilence) alive(o *event.Observation) {
	if s.Date != 0 && o.At.Sub(s.Date) > boardSilent {
		s.Quiet = true
		for i := range s.Outputs.List {
			s.Outputs.List[i].Spoke = 0
		}
	}
	s.Date = o.At
}

// stood reports that it was the board that stood still while nothing was read, by its
// own clock, and not the computer.
func (s *OutputSilence) stood(epoch int, fall unit.Duration) bool {
	quiet, since := s.Quiet, fall-s.Latest
	s.Quiet, s.Latest = false, fall
	return quiet && (epoch != s.Epoch || since > boardSilent)
}

func (s *OutputSilence) spoke(emit event.Emit) {
	for i := range s.Outputs.List {
		l := &s.Outputs.List[i]
		if l.Spoke++; l.Spoke >= leadSpoke {
			l.stopped(emit)
		}
	}
}

func (s *OutputSilence) pulse(o *event.Observation, emit event.Emit) {
	p := o.Pulse
	fall := p.Fall()
	if s.stood(p.Epoch, fall) { // then all is heard anew
		s.unheard()
	}
	if s.Excused || p.Epoch != s.Epoch {
		s.restart(p.Epoch, fall)
	}
	l := s.of(p.Output)
	if l.Heard && fall-l.Fall > l.limit() {
		l.stopped(emit)
	}
	l.pulse(o, fall, emit)
	s.due = min(s.due, l.due())
	if fall > s.due {
		s.overdue(l, fall, emit)
	}
}

// overdue ends outputs that have been silent for too long when a pulse of one comes.
func (s *OutputSilence) overdue(of *outputLine, fall unit.Duration, emit event.Emit) {
	s.due = unit.Forever
	for i := range s.Outputs.List {
		l := &s.Outputs.List[i]
		if l != of && fall > l.due() {
			l.stopped(emit)
		}
		if l.Known && !l.Silent { // else it can't stop
			s.due = min(s.due, l.due())
		}
	}
}

func (s *OutputSilence) of(output int) *outputLine {
	if l := s.Outputs.Of(output); l != nil {
		return l
	}
	return s.Outputs.Add(output, outputLine{Output: output})
}

// restart lets all outputs wait from here on.
func (s *OutputSilence) restart(epoch int, fall unit.Duration) {
	s.Excused, s.Epoch, s.due = false, epoch, 0
	for i := range s.Outputs.List {
		s.Outputs.List[i].Fall = fall
	}
}

// due is when it is overdue, by the board's clock.
func (l *outputLine) due() unit.Duration { return l.Fall + l.limit() }

func (l *outputLine) limit() unit.Duration { return max(leadPeriods*l.Period, leadLeast) }

func (l *outputLine) pulse(o *event.Observation, fall unit.Duration, emit event.Emit) {
	l.Spoke = 0
	if plausible(o.Pulse) {
		l.Period = o.Pulse.Period
		if l.Latest != 0 { // a pulse may have been lacking in between
			l.Period = min(l.Period, l.Latest)
		}
		l.Latest = o.Pulse.Period
	}
	if !l.Heard && !l.again(o, emit) {
		return
	}
	l.Fall, l.Wire, l.Last = fall, o.Wire, boardDate{o.Pulse.Epoch, fall}
}

// plausible reports a period that a servo is sent.
func plausible(p *event.Pulse) bool { return p.Period > 0 && p.Period <= leadLongest }

// again takes a pulse of an output that was not heard: whether it is now.
func (l *outputLine) again(o *event.Observation, emit event.Emit) bool {
	if !plausible(o.Pulse) {
		l.Run = 0
	}
	if l.Run++; l.Run == 1 {
		l.First, l.Begun = o.Wire, boardDate{o.Pulse.Epoch, o.Pulse.Fall()}
	}
	if l.Run < leadBack {
		return false
	}
	d := event.OutputBackData{WidthNS: o.Pulse.Width}
	if l.Known {
		d.SilentNS = l.lasted()
	}
	l.Known, l.Heard, l.Silent, l.Run = true, true, false, 0
	emit(event.OutputBack, l.First, l.about(), d)
	return true
}

// lasted is how long an output that is back was silent. What was read late, in one lump, may all
// have the date of the reading: then the board's clock says it.
func (l *outputLine) lasted() unit.Duration {
	lasted, board := l.First.Sub(l.Wire), l.Begun.At-l.Last.At
	if l.Begun.Epoch == l.Last.Epoch && unit.Abs(board-lasted) > board/boardOff {
		return board
	}
	return lasted
}

func (l *outputLine) stopped(emit event.Emit) {
	if !l.Known || l.Silent {
		return
	}
	l.Heard, l.Silent, l.Run = false, true, 0
	emit(event.OutputSilent, l.Wire, l.about(), event.SilentData{LimitNS: l.limit()})
}

func (l *outputLine) about() string { return outputAbout(l.Output) }

// outputAbout is how events name an output.
func outputAbout(n int) string { return event.AboutOutput.Numbered(n) }
