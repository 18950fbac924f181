package controls

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	flatLeast = 80 * unit.Millisecond // a channel stands exactly still for this long
	flatReach = 42 * unit.Millisecond // movement is measured over this time and over twice that: several radio packets
	flatMoves = 36                    // quanta within twice that: less is too little to measure
	flatSlams = 320                   // quanta within it: leaving faster is a stick let go from its stop
	flatCome  = 35                    // per cent of the way within the half of it that is nearer: coming steadily
	flatLeave = 36                    // and leaving so; from rest it is an eighth to a third
	flatPast  = 14                    // frames that are looked back at
	flatKept  = 16                    // and that are kept, a power of two
	flatEnds  = 2                     // times the tolerance for positions: so near to the sheet's end nothing is cut off short
)

// Flat looks for travel that is cut off before the stick meets its stop: the
// channel stands exactly still between coming at a steady pace and leaving again
// at one. A hand can meet a stop at speed, but it can't leave it so: it starts
// from rest, and goes less than a quarter of the way in the first half of a short
// time. At a steady pace it goes half. A hand that slides along the stop, with another
// stick channel moving, does leave it at speed: nothing is reported then. Nor is it where the
// channel stands at its end as the sheet has it: nothing is cut off short there, however
// the hand moves.
//
//	stick       /""\            stick      /"""\
//	           /    \                     /     \
//	channel  _/______\_ limit   channel  /       \
//	        /|        |\                /         \
//	  steady         steady        slows down, starts from rest
type Flat struct {
	Tap    uint8
	Recent [flatKept]framePoint // the latest judged frames, each at its number
	Frames int                  // so far
	N      int                  // without a hole, up to flatPast
	At     bus.PerChannel[standstill]
	Busy   base.ChannelSet // channels that are leaving where they stood

	half, whole int // which frame before the one under judgement is the first within flatReach, and within twice that; 0: none
}

// framePoint is the channels of one frame.
type framePoint struct {
	Wire   unit.Time
	Counts bus.Counts
}

// standstill is where a channel stands, or has stood until it was left.
type standstill struct {
	Since  unit.Time     // wire time since which
	Came   shortMovement // how it came
	Left   unit.Time     // wire time of the last frame that still stood there; 0: it was not left
	Count  uint32        // what it stood at
	Lasted unit.Duration
	Half   int // counts gone after flatReach, 0: not yet
	Whole  int // and after twice that

	Limit [2]uint32 // where it was last cut off below and above, 0: nowhere yet
}

// shortMovement is a short movement: counts covered, signed, in the half of it that is
// nearer to the plateau, and in all of it. A step has all of it in one half.
type shortMovement struct{ Half, Whole int }

// steady reports that at least so many per cent were covered in the half.
func (p shortMovement) steady(percent, quantum int) bool {
	half, whole := max(p.Half, -p.Half), max(p.Whole, -p.Whole)
	return whole >= flatMoves*quantum && 100*half >= percent*whole && 100*half <= 75*whole && (p.Half > 0) == (p.Whole > 0)
}

// limits reports that a channel came and left as at a limit.
func limits(came, left shortMovement, quantum int) bool {
	back := (came.Whole > 0) == (left.Whole < 0)
	return back && came.steady(flatCome, quantum) && left.steady(flatLeave, quantum) && left.Half <= flatSlams*quantum && left.Half >= -flatSlams*quantum
}

// See implements Watcher.
func (f *Flat) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, f.Tap) || base.ReadLate(o, f.Tap) {
		f.N = 0
		return
	}
	if !base.Judgeable(o, f.Tap) || base.SignalOf(o.Frame) != event.SignalLive {
		return
	}
	if f.N == 0 || o.Wire.Sub(f.before(1).Wire) > base.MaxFrameStep {
		f.N = 0
		f.rest()
	} else {
		if move := f.Busy | base.Changed(&o.Frame.Counts, &f.before(1).Counts); move != 0 {
			f.lookBack(o.Wire)
			for move != 0 {
				f.channel(move.Pop(), o, v, emit)
			}
		}
	}
	f.Frames++
	*f.before(1) = framePoint{o.Wire, o.Frame.Counts}
	f.N = min(f.N+1, flatPast)
}

// before is the frame so many before the next, at most flatKept.
func (f *Flat) before(n int) *framePoint { return &f.Recent[(f.Frames-n)&(flatKept-1)] }

// rest forgets what moves, not where channels were cut off.
func (f *Flat) rest() {
	f.Busy = 0
	for ch := range f.At {
		f.At[ch] = standstill{Limit: f.At[ch].Limit}
	}
}

func (f *Flat) channel(ch int, o *event.Observation, v *base.View, emit event.Emit) {
	p := &f.At[ch]
	was, now := f.before(1), o.Frame.Counts[ch]
	if p.Left != 0 {
		f.leaving(ch, p, o, v, emit)
	}
	if now == was.Counts[ch] {
		return
	}
	if lasted := was.Wire.Sub(p.Since); p.Since != 0 && lasted >= flatLeast {
		p.Left, p.Count, p.Lasted, p.Half, p.Whole = was.Wire, was.Counts[ch], lasted, 0, 0
		f.Busy |= 1 << ch
	}
	if p.Left == 0 {
		p.Came = f.came(ch, o)
	}
	p.Since = o.Wire
}

// leaving follows a channel that has left where it stood.
func (f *Flat) leaving(ch int, p *standstill, o *event.Observation, v *base.View, emit event.Emit) {
	gone := int(o.Frame.Counts[ch]) - int(p.Count)
	switch passed := o.Wire.Sub(p.Left); {
	case passed < flatReach:
		return
	case p.Half == 0:
		p.Half = gone
		return
	case passed < 2*flatReach:
		return
	case p.Whole == 0:
		p.Whole = gone
		return
	case passed < 4*flatReach:
		return
	}
	went := shortMovement{p.Half, p.Whole}
	if limits(p.Came, went, int(v.Quantum)) && goesOn(p.Whole, gone-p.Whole) && !v.Taps[f.Tap].Suspect && f.alone(ch, v) {
		if again := p.cutBefore(gone, v.Quantum); again || v.Drill != "" {
			f.report(ch, p, gone, again, v, emit)
		}
	}
	p.Left = 0
	f.Busy &^= 1 << ch
}

// alone reports that no other stick moves while a channel leaves where it stood. One
// that slides along its stop, round in a circle, leaves that at speed too.
func (f *Flat) alone(ch int, v *base.View) bool {
	for i := range v.Sheet.Channels {
		c := &v.Sheet.Channels[i]
		other := c.Number - 1
		if other == ch || v.Sheet.Digital(c.Number) || c.Kind != sheet.Stick && c.Kind != sheet.Throttle {
			continue
		}
		least, most := f.before(1).Counts[other], f.before(1).Counts[other]
		for n := range f.N {
			count := f.before(1 + n).Counts[other]
			least, most = min(least, count), max(most, count)
		}
		if most-least >= flatMoves*v.Quantum {
			return false
		}
	}
	return true
}

// goesOn reports that a channel went on as it had left: a stick that is let go springs
// back as fast, and is there.
func goesOn(left, then int) bool {
	return (left > 0) == (then > 0) && 2*max(then, -then) >= max(left, -left)
}

// cutBefore notes where the channel was cut off and reports whether it was there
// before. gone is how far it has left, signed.
func (p *standstill) cutBefore(gone int, quantum uint32) bool {
	limit := &p.Limit[0]
	if gone < 0 {
		limit = &p.Limit[1]
	}
	before := *limit
	*limit = p.Count
	return before != 0 && max(before, p.Count)-min(before, p.Count) <= quantum
}

// lookBack finds the frames between which movement is measured that ends at a wire time.
func (f *Flat) lookBack(from unit.Time) {
	f.half, f.whole = 0, 0
	for n := 1; n <= f.N; n++ {
		passed := from.Sub(f.before(n).Wire)
		if passed > 2*flatReach {
			return
		}
		f.whole = n
		if passed <= flatReach {
			f.half = n
		}
	}
}

// came is how a channel came to where it is now, within flatReach and within twice that.
func (f *Flat) came(ch int, o *event.Observation) (way shortMovement) {
	now := int(o.Frame.Counts[ch])
	if f.half > 0 {
		way.Half = now - int(f.before(f.half).Counts[ch])
	}
	if f.whole > 0 {
		way.Whole = now - int(f.before(f.whole).Counts[ch])
	}
	return way
}

// reached reports that a control stood at the end that it left, as the sheet has it, or
// beyond. gone is how far it has left, signed.
func reached(c *sheet.Channel, width unit.Width, gone int, near unit.Width) bool {
	for _, p := range c.Places {
		if gone < 0 && width < p.Width-near || gone > 0 && width > p.Width+near {
			return false
		}
	}
	return true
}

func (f *Flat) report(ch int, p *standstill, gone int, again bool, v *base.View, emit event.Emit) {
	c, ok := v.Sheet.Channel(ch + 1)
	if !ok || c.Kind != sheet.Stick && c.Kind != sheet.Throttle {
		return
	}
	width := v.Sheet.Width(p.Count)
	if reached(c, width, gone, flatEnds*v.Sheet.Tolerance.Position) {
		return
	}
	if c.Neutral != 0 && unit.Abs(width-c.Neutral) <= v.Sheet.Tolerance.Position {
		return // a stick rests there
	}
	t := &v.Taps[f.Tap]
	emit(event.TravelClipped, p.Left.Add(-p.Lasted), about(ch), event.TravelClippedData{
		Tap: t.Name, Channel: ch + 1, Count: int64(p.Count), WidthNS: width,
		DwellNS: p.Lasted, Signal: t.Signal, Short: true, Again: again,
	})
}

// Rests implements base.Sleeper: nothing moves.
func (f *Flat) Rests(c base.Calm, _ *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || f.N == 0 || f.Busy != 0 {
		return 0, 0
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (f *Flat) Pass(n int, c base.Calm, _ *base.View) {
	was := f.before(1).Counts
	f.Frames += n
	f.N = min(f.N+n, flatPast)
	for i := range min(n, flatKept) {
		*f.before(1 + i) = framePoint{c.Wire(int64(i)), was}
	}
}
