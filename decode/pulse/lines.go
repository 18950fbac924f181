package pulse

import "bytes"

const (
	// longest is more than a line takes, characters.
	longest = 64
	// MostOutputs is how many leads a board can have.
	MostOutputs = 32
	// widest is a width that no servo pulse reaches, ns: a falling edge was missed.
	widest = 10_000_000
	// pauses is a period that no servo is sent, ns: pulses were absent in between.
	pauses = 200_000_000
	// A board whose clock and numbers stand below these, and jumped there, has just
	// begun: 2 s, and the pulses of eight outputs in them.
	freshTime  = 2_000_000_000
	freshLines = 6_000
	// early is how much earlier than the pulse before it a pulse may have fallen, ns:
	// a board tells those of one moment in any order.
	early = 5_000_000
)

// Board is what a capture board says of itself.
type Board struct {
	Name    string
	Tick    int64 // ns of its clock
	Outputs int   // leads that it listens to
	Dropped int64 // pulses that it could not tell, since its start
}

// Lines turns the lines of a capture board into pulses. What was in a line that is
// lacking, or whose sum is bad, is absent: never guessed. The zero value is ready.
// Its exported fields are what a checkpoint keeps.
type Lines struct {
	Held   []byte // of the line that is not complete
	Spoilt bool   // a character of it was bad
	Over   bool   // it is too long already: its bytes are refused as they come

	Board Board
	Told  bool   // it spoke of itself since the port was opened
	Heard bool   // a pulse was dated since the clock began
	Epoch int    // how often it began
	Seq   uint16 // the latest number of a pulse
	Fall  int64  // of the latest pulse, ticks, unwrapped
	Rises [MostOutputs]int64
	Known uint32 // outputs whose latest rise is in Rises, a bit each

	Sum Account

	pulse Pulse
}

// Account is where the bytes went so far.
func (l *Lines) Account() Account { return l.Sum }

// Feed takes bytes; bad says that the port marked them so. see gets each pulse; it
// is lent for the call.
func (l *Lines) Feed(data []byte, bad bool, see func(*Pulse)) {
	l.Sum.In += int64(len(data))
	for _, b := range data {
		l.take(b, bad, see)
	}
}

// Reset is for a port that went away: what comes next may be another board, or the
// same one anew.
func (l *Lines) Reset() {
	l.refuse(CutOff, len(l.Held))
	l.Held, l.Spoilt, l.Over = l.Held[:0], false, false
	l.begin(0)
	l.Board, l.Told = Board{}, false
}

// begin takes note of a clock that begins anew.
func (l *Lines) begin(restarts int64) {
	l.Heard, l.Known = false, 0
	l.Epoch++
	l.Sum.Restarts += restarts
}

func (l *Lines) take(b byte, bad bool, see func(*Pulse)) {
	switch {
	case b == '$':
		l.refuse(CutOff, len(l.Held))
		l.Held, l.Spoilt, l.Over = append(l.Held[:0], b), bad, false
	case len(l.Held) == 0:
		l.outside(b)
	case b == '\n':
		l.Held, l.Spoilt = append(l.Held, b), l.Spoilt || bad
		l.line(see)
		l.Held = l.Held[:0]
	case len(l.Held) == longest:
		l.refuse(TooLong, longest+1)
		l.Held, l.Over = l.Held[:0], true
	default:
		l.Held, l.Spoilt = append(l.Held, b), l.Spoilt || bad
	}
}

// outside takes a byte that is in no line.
func (l *Lines) outside(b byte) {
	if l.Over {
		l.refuse(TooLong, 1)
		l.Over = b != '\n'
		return
	}
	l.refuse(Outside, 1)
}

func (l *Lines) refuse(why Reason, bytes int) { l.Sum.Refused[why] += int64(bytes) }

// line reads the line that is held.
func (l *Lines) line(see func(*Pulse)) {
	size := len(l.Held)
	if l.Spoilt {
		l.refuse(Spoilt, size)
		return
	}
	text, ok := unframe(bytes.TrimRight(l.Held, "\r\n"))
	if !ok {
		l.refuse(BadSum, size)
		return
	}
	kind, rest, _ := bytes.Cut(text, []byte{','})
	why, taken := Unknown, false
	switch string(kind) {
	case "PBPX":
		why, taken = l.onPulse(fields{rest: rest}, see)
	case "PBPI":
		why, taken = l.onBoard(fields{rest: rest})
	}
	if !taken {
		l.refuse(why, size)
		return
	}
	l.Sum.Taken += int64(size)
	l.Sum.Lines++
}

func (l *Lines) onBoard(f fields) (Reason, bool) {
	name := f.next()
	tick := f.number(1_000_000)
	outputs := f.number(MostOutputs)
	dropped := f.number(1 << 40)
	if !f.done() || tick == 0 || len(name) == 0 {
		return Malformed, false
	}
	if l.Told && (dropped < l.Board.Dropped || tick != l.Board.Tick) {
		l.begin(1)
		l.Board.Dropped = 0
	}
	if l.Told {
		l.Sum.Dropped += dropped - l.Board.Dropped
	}
	if string(name) != l.Board.Name {
		l.Board.Name = string(name)
	}
	l.Sum.Infos++
	l.Board.Tick, l.Board.Outputs, l.Board.Dropped, l.Told = tick, int(outputs), dropped, true
	return 0, true
}

func (l *Lines) onPulse(f fields, see func(*Pulse)) (Reason, bool) {
	seq := f.hex(4)
	output := f.number(MostOutputs)
	rise := f.hex(8)
	width := f.hex(8)
	switch {
	case !f.done() || output == 0:
		return Malformed, false
	case !l.Told:
		return NoTick, false
	}
	ticks := int64(width)
	if ticks*l.Board.Tick > widest {
		return OutOfOrder, false
	}
	l.follow(uint16(seq), rise+width)
	l.give(int(output), l.Fall-ticks, ticks, see)
	return 0, true
}

// follow brings number and clock on to a line. Numbers that are lacking are lines
// that are; a clock that goes back began anew.
func (l *Lines) follow(seq uint16, fall uint32) {
	if l.Heard {
		on := int64(int32(fall - uint32(l.Fall)))
		missing := seq - l.Seq - 1
		switch {
		case missing > 0 && l.fresh(seq, fall):
			l.begin(1)
		case on*l.Board.Tick >= -early:
			l.Fall += on
			l.Sum.Lost += int64(missing)
			if missing > 0 { // what was in them may have been any output's
				l.Known = 0
			}
			l.Seq = seq
			return
		case missing == 0: // half of all ticks went by without a pulse
			l.begin(0)
		default:
			l.begin(1)
		}
	}
	l.Heard, l.Seq, l.Fall = true, seq, int64(fall)
}

// fresh reports whether number and clock are those of a board that has just begun.
func (l *Lines) fresh(seq uint16, fall uint32) bool {
	return seq < freshLines && int64(fall)*l.Board.Tick < freshTime
}

// give hands a pulse over: its rise and width, ticks.
func (l *Lines) give(output int, rise, width int64, see func(*Pulse)) {
	tick, bit := l.Board.Tick, uint32(1)<<(output-1)
	l.pulse = Pulse{Output: output, Rise: rise * tick, Width: width * tick, Epoch: l.Epoch}
	if period := (rise - l.Rises[output-1]) * tick; l.Known&bit != 0 && period > 0 && period < pauses {
		l.pulse.Period = period
	}
	l.Rises[output-1] = rise
	l.Known |= bit
	l.Sum.Pulses++
	see(&l.pulse)
}
