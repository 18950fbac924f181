package pulse

import (
	"bytes"

	"benchproof.example/decode/sentence"
)

const (
	// longest is the longest sentence of NMEA 0183, characters with its line end (from
	// memory). Ours are shorter.
	longest = 82
	// MaxOutputs is how many leads a board can have.
	MaxOutputs = 32
)

// BoardInfo is what a capture board says of itself.
type BoardInfo struct {
	Name    string // letters, digits and hyphens
	Tick    int64  // ns of its clock
	Outputs int    // leads that it listens to
	Dropped int64  // pulses that it could not report, since its start
}

// BoardDecoder turns the lines of a capture board into pulses. What was in a line that is
// lacking, or whose sum is bad, is absent: never guessed. The sum is an exclusive
// or, so two characters with the same wrong bit pass it; most of those fall out of
// order or out of range. The zero value is ready. Its exported fields are what a
// checkpoint keeps.
type BoardDecoder struct {
	Held   []byte // of the line that is not complete
	Spoilt bool   // a character of it was bad
	Over   bool   // it is too long already: its bytes are refused as they come

	Board     BoardInfo
	Reported  int  // how often it spoke of itself since the port was opened, 3 for more
	Restarted bool // it began anew since then

	Epoch int // how often its clock began
	Clock BoardClock

	Rises [MaxOutputs]int64 // of the latest pulse of each output, ticks, unwrapped
	Falls [MaxOutputs]int64
	Seen  uint32 // outputs with a rise and a fall in there, a bit each
	Known uint32 // outputs of which nothing was lost since

	Sum Account

	pulse   Pulse
	refused int64
}

// Account is where the bytes went so far.
func (l *BoardDecoder) Account() Account { return l.Sum }

// RefusedBytes is the number of bytes refused for any reason since the decoder was made.
func (l *BoardDecoder) RefusedBytes() int64 { return l.refused }

// Pending is the number of bytes of a line that is not complete.
func (l *BoardDecoder) Pending() int { return len(l.Held) }

// Feed takes bytes; bad says that the port marked them so. see gets each pulse; it
// is lent for the call. The pulses do not depend on how the bytes are cut.
func (l *BoardDecoder) Feed(data []byte, bad bool, see func(*Pulse)) {
	for len(data) > 0 {
		data = data[l.FeedLine(data, bad, see):]
	}
}

// FeedLine is Feed up to the first end of a line, and gives how many bytes that were.
func (l *BoardDecoder) FeedLine(data []byte, bad bool, see func(*Pulse)) (taken int) {
	end := bytes.IndexByte(data, '\n') + 1
	if end == 0 {
		end = len(data)
	}
	data = data[:end]
	l.Sum.In += int64(end)
	if l.whole(data) {
		l.Over = false
		l.line(data, bad, see)
		return end
	}
	for len(data) > 0 {
		if n := l.within(data); n > 0 {
			l.Held, l.Spoilt = append(l.Held, data[:n]...), l.Spoilt || bad
			data = data[n:]
			continue
		}
		l.take(data[0], bad, see)
		data = data[1:]
	}
	return end
}

// whole reports that bytes up to an end of a line are one line, which mostly comes in one
// piece: it is read where it is.
func (l *BoardDecoder) whole(data []byte) bool {
	return len(l.Held) == 0 && len(data) <= longest && data[0] == '$' && data[len(data)-1] == '\n' && bytes.IndexByte(data[1:], '$') < 0
}

// within is how many of the next bytes only go on with the line that is held.
func (l *BoardDecoder) within(data []byte) int {
	if len(l.Held) == 0 {
		return 0
	}
	data = data[:min(len(data), longest-1-len(l.Held))]
	for _, b := range []byte("\n$") {
		if i := bytes.IndexByte(data, b); i >= 0 {
			data = data[:i]
		}
	}
	return len(data)
}

// Reset is for a port that went away: what comes next may be another board, or the
// same one anew.
func (l *BoardDecoder) Reset() {
	l.refuse(CutOff, len(l.Held))
	l.Held, l.Spoilt, l.Over = l.Held[:0], false, false
	l.begin()
	l.Board, l.Reported, l.Restarted = BoardInfo{Name: l.Board.Name}, 0, false
}

// take takes a byte that begins a line or ends one, or is in none.
func (l *BoardDecoder) take(b byte, bad bool, see func(*Pulse)) {
	switch {
	case b == '$':
		l.refuse(CutOff, len(l.Held))
		l.Held, l.Spoilt, l.Over = append(l.Held[:0], b), bad, false
	case len(l.Held) == 0:
		l.outside(b)
	case b == '\n':
		l.Held = append(l.Held, b)
		l.line(l.Held, l.Spoilt || bad, see)
		l.Held, l.Spoilt = l.Held[:0], false
	default: // the line is full, and this is not its end
		l.refuse(TooLong, longest)
		l.Held, l.Over = l.Held[:0], true
	}
}

// outside takes a byte that is in no line.
func (l *BoardDecoder) outside(b byte) {
	if l.Over {
		l.refuse(TooLong, 1)
		l.Over = b != '\n'
		return
	}
	l.refuse(Outside, 1)
}

func (l *BoardDecoder) refuse(why Reason, bytes int) {
	if bytes > 0 {
		l.Sum.Refused[why] += int64(bytes)
		l.refused += int64(bytes)
		l.Clock.Torn = true
	}
}

// line reads a line with its end; spoilt says that a character of it was bad.
func (l *BoardDecoder) line(line []byte, spoilt bool, see func(*Pulse)) {
	why, taken := l.read(line, spoilt, see)
	if !taken {
		l.refuse(why, len(line))
		return
	}
	l.Sum.Taken += int64(len(line))
	l.Sum.Lines++
}

func (l *BoardDecoder) read(line []byte, spoilt bool, see func(*Pulse)) (why Reason, taken bool) {
	if spoilt {
		return Spoilt, false
	}
	text, ok := sentence.Unframe(line)
	if !ok {
		return BadSum, false
	}
	f := sentence.Fields{Rest: text}
	switch string(f.Next()) {
	case pulseKind:
		return l.onPulse(f, see)
	case boardKind:
		return l.onBoard(f)
	}
	return Unknown, false
}

func (l *BoardDecoder) onBoard(f sentence.Fields) (why Reason, taken bool) {
	name := f.Name()
	tick := f.Number(1_000_000)
	outputs := f.Number(MaxOutputs)
	dropped := f.Number(1 << 40)
	if !f.Done() || tick == 0 || outputs == 0 {
		return Malformed, false
	}
	b := &l.Board
	another := string(name) != b.Name
	if l.Reported > 0 && (another || tick != b.Tick || int(outputs) != b.Outputs || dropped < b.Dropped) {
		l.restart()
	}
	if another { // the only thing here that allocates, once for each name
		b.Name = string(name)
	}
	if l.Reported > 0 && dropped > b.Dropped {
		l.Sum.Dropped += dropped - b.Dropped
		l.Known = 0
	}
	b.Tick, b.Outputs, b.Dropped = tick, int(outputs), dropped
	l.Reported = min(l.Reported+1, 3)
	l.Sum.Infos++
	l.Clock.Infos++
	return 0, true
}

func (l *BoardDecoder) onPulse(f sentence.Fields, see func(*Pulse)) (why Reason, taken bool) {
	seq := f.Hex(4)
	output := f.Number(MaxOutputs)
	rise := f.Hex(8)
	width := f.Hex(8)
	switch {
	case !f.Done() || output == 0:
		return Malformed, false
	case l.Reported == 0:
		return NoTick, false
	case int(output) > l.Board.Outputs:
		return Malformed, false
	}
	if why, ok := l.follow(uint16(seq), rise+width); !ok {
		return why, false
	}
	fall := l.Clock.Fall
	return l.give(int(output), fall-int64(width), fall, see)
}

// follow brings number and clock on to a line.
func (l *BoardDecoder) follow(seq uint16, fall uint32) (why Reason, ok bool) {
	switch l.Clock.judge(seq, fall, l.Board.Tick) {
	case repeats:
		return Repeated, false
	case strays:
		l.Clock.doubt(seq, fall)
		return OutOfOrder, false
	case restarts:
		l.restart()
	case follows:
		if missing := l.Clock.missing(seq); missing > 0 {
			l.Sum.Lost += int64(missing)
			l.Known = 0 // what was in them may have been any output's
		}
	}
	l.Clock.follow(seq, fall, l.Board.Tick)
	return 0, true
}

// begin takes note of a clock that begins anew.
func (l *BoardDecoder) begin() {
	l.Clock = BoardClock{}
	l.Seen, l.Known = 0, 0
	l.Epoch++
}

// restart is a board that began anew while the port was open.
func (l *BoardDecoder) restart() {
	l.begin()
	l.Board.Dropped = 0
	if l.Reported <= 2 && !l.Restarted {
		l.Sum.Expected++
	} else {
		l.Sum.Restarts++
	}
	l.Restarted = true
}

// give hands a pulse over, if it is one: its rise and fall, ticks.
func (l *BoardDecoder) give(output int, rise, fall int64, see func(*Pulse)) (why Reason, taken bool) {
	i, tick := output-1, l.Board.Tick
	bit := uint32(1) << i
	before, hole := l.Rises[i], l.Seen&bit != 0 && (rise-l.Falls[i])*tick < pause
	known := l.Known&bit != 0
	l.Rises[i], l.Falls[i] = rise, fall
	l.Seen |= bit
	l.Known &^= bit
	width := (fall - rise) * tick
	switch {
	case hole:
		return Split, false
	case width < narrowest:
		return TooNarrow, false
	case width > widest:
		return TooWide, false
	}
	l.Known |= bit
	l.Sum.Pulses++
	l.pulse = Pulse{Output: output, Rise: rise * tick, Width: width, Epoch: l.Epoch}
	if period := (rise - before) * tick; known && period <= longestPeriod {
		l.pulse.Period = period
	}
	see(&l.pulse)
	return 0, true
}
