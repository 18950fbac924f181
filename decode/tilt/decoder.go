package tilt

import "benchproof.example/decode/sentence"

const (
	micro  = 1_000
	second = 1_000_000_000
	// leftFor is how long the first phone must not be heard before another one counts, ns: pages
	// send at least once a second.
	leftFor = 3 * second
	// furthest is how far the time of a sentence may be ahead of the last one's, ns: what is
	// farther off is not ahead but behind.
	furthest = 1 << 31 * micro
)

// Decoder turns sentences into attitudes. What was in one that is lacking, or whose sum is
// bad, is absent: never guessed. Of two phones the first is heard, until it is silent. The
// zero value is ready. Its exported fields are what a checkpoint keeps.
type Decoder struct {
	Held   []byte // of the sentence that is not complete
	Spoilt bool   // a character of it was bad
	Over   bool   // it is too long already: its bytes are refused as they come

	Heard  bool // a sentence of Sender was taken since Epoch began
	Timed  bool // and an attitude, of Number and Time
	Sender uint16
	Number uint16
	Time   int64 // ns since the phone's clock began, unwrapped
	Date   int64 // of the input with the latest sentence of Sender, ns
	Epoch  int   // how often the clock began anew
	Screen int   // as last said

	Sum Account

	attitude Attitude
	status   Status
	refused  int64
}

// See takes what sentences say; each is lent for the call. One of the two is nil.
type See func(*Attitude, *Status)

// RefusedBytes is the number of bytes refused for any reason since the decoder was made.
func (d *Decoder) RefusedBytes() int64 { return d.refused }

// Pending is the number of bytes of a sentence that is not complete.
func (d *Decoder) Pending() int { return len(d.Held) }

// Feed takes bytes that were read at a date, ns; bad says that the port marked them so. What
// see gets does not depend on how the bytes are cut.
func (d *Decoder) Feed(data []byte, date int64, bad bool, see See) {
	d.Sum.In += int64(len(data))
	for _, b := range data {
		switch {
		case b == '$':
			d.refuse(CutOff, len(d.Held))
			d.Held, d.Spoilt, d.Over = append(d.Held[:0], b), bad, false
		case len(d.Held) == 0:
			d.outside(b)
		case len(d.Held) == longest-1 && b != '\n':
			d.refuse(TooLong, longest)
			d.Held, d.Over = d.Held[:0], true
		default:
			d.Held, d.Spoilt = append(d.Held, b), d.Spoilt || bad
			if b == '\n' {
				d.line(date, see)
				d.Held = d.Held[:0]
			}
		}
	}
}

// Reset is for a port that went away.
func (d *Decoder) Reset() {
	d.refuse(CutOff, len(d.Held))
	d.Held, d.Spoilt, d.Over = d.Held[:0], false, false
	d.Heard, d.Timed = false, false
}

// outside takes a byte that is in no sentence.
func (d *Decoder) outside(b byte) {
	if d.Over {
		d.refuse(TooLong, 1)
		d.Over = b != '\n'
		return
	}
	d.refuse(Outside, 1)
}

func (d *Decoder) refuse(why Reason, bytes int) {
	d.Sum.Refused[why] += int64(bytes)
	d.refused += int64(bytes)
}

// line reads the sentence that is held.
func (d *Decoder) line(date int64, see See) {
	size := len(d.Held)
	why, taken := d.read(date, see)
	if !taken {
		d.refuse(why, size)
		return
	}
	d.Sum.Taken += int64(size)
}

func (d *Decoder) read(date int64, see See) (why Reason, taken bool) {
	if d.Spoilt {
		return Spoilt, false
	}
	text, ok := sentence.Unframe(d.Held)
	if !ok {
		return BadSum, false
	}
	f := sentence.Fields{Rest: text}
	switch string(f.Next()) {
	case attitudeKind:
		return d.onAttitude(&f, date, see)
	case statusKind:
		return d.onStatus(&f, date, see)
	}
	return Unknown, false
}

func (d *Decoder) onStatus(f *sentence.Fields, date int64, see See) (why Reason, taken bool) {
	sender := uint16(f.Hex(4))
	name := f.Name()
	screen := f.Signed(270)
	state := string(f.Next())
	if !f.Done() || screen < 0 || screen%90 != 0 || state != "R" && state != "H" {
		return Malformed, false
	}
	if !d.hears(sender, date) {
		return Second, false
	}
	d.Screen = int(screen)
	d.Sum.Statuses++
	d.status.Sender, d.status.Screen, d.status.Hidden = sender, d.Screen, state == "H"
	if d.status.Name != string(name) { // allocates once for each name
		d.status.Name = string(name)
	}
	see(nil, &d.status)
	return 0, true
}

func (d *Decoder) onAttitude(f *sentence.Fields, date int64, see See) (why Reason, taken bool) {
	a := &d.attitude
	sender, number, ticks := uint16(f.Hex(4)), uint16(f.Hex(4)), f.Hex(8)
	for i := range a.Turn {
		a.Turn[i] = int32(f.Signed(Scale))
	}
	good := false
	a.Rate, a.Gyro, good = rates(f)
	if !good || !f.Done() || !isTurn(a.Turn) {
		return Malformed, false
	}
	if !d.hears(sender, date) {
		return Second, false
	}
	if !d.follows(number, ticks) {
		return OutOfOrder, false
	}
	a.Sender, a.Epoch, a.Time, a.Screen = sender, d.Epoch, d.Time, d.Screen
	d.Sum.Attitudes++
	see(a, nil)
	return 0, true
}

// isTurn reports whether a quaternion is as long as one that turns is, to a hundredth.
func isTurn(q [4]int32) bool {
	norm := int64(0)
	for _, v := range q {
		norm += int64(v) * int64(v)
	}
	const whole = Scale * Scale
	return norm > whole-whole/50 && norm < whole+whole/50
}

// hears reports whether a sender is the phone that counts, and makes it so where none is heard.
func (d *Decoder) hears(sender uint16, date int64) bool {
	if d.Heard && sender != d.Sender && date-d.Date < leftFor {
		return false
	}
	if !d.Heard || sender != d.Sender {
		if d.Heard {
			d.Sum.Restarts++
		}
		d.Heard, d.Timed, d.Sender, d.Time, d.Screen = true, false, sender, 0, 0
		d.Epoch++
	}
	d.Date = date
	return true
}

// follows brings number and time on to a sentence, and reports whether it is ahead of the last.
func (d *Decoder) follows(number uint16, ticks uint32) bool {
	if !d.Timed {
		d.Timed, d.Number, d.Time = true, number, int64(ticks)*micro
		return true
	}
	ahead := number - d.Number
	on := int64(ticks-uint32(d.Time/micro)) * micro
	if ahead == 0 || ahead >= 1<<15 || on <= 0 || on >= furthest {
		return false
	}
	d.Sum.Lost += int64(ahead - 1)
	d.Number, d.Time = number, d.Time+on
	return true
}
