package watch

import (
	"strconv"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

const (
	flatLeast = 80 * fact.Millisecond // a channel stands exactly still for so long
	flatReach = 30 * fact.Millisecond // speed is measured over this time, before and after
	flatSlow  = 10                    // counts within it: a hand at rest does not start or stop so fast
	flatFast  = 100                   // counts within it: a slam into the stop, or a spring, does
	flatPast  = 8                     // frames that are remembered
)

// Flat looks for travel that is cut off before the stick meets its stop: the
// channel stands exactly still between coming at a steady speed and leaving
// again at one. A hand can meet a stop at speed, but it can't leave it so: it
// has to start from rest. A spring leaves fast, but far faster than this.
//
//	stick       /""\            stick      /"""\
//	           /    \                     /     \
//	channel  _/______\_ limit   channel  /       \
//	        /|        |\                /         \
//	  at speed       at speed        slows down, starts slowly
type Flat struct {
	Tap  uint8
	Past [flatPast]moment // the latest judged frames, newest last
	N    int
	At   [servobus.Channels]plateau
}

// moment is the channels of one frame.
type moment struct {
	Wire   fact.Time
	Counts [servobus.Channels]uint16
}

// plateau is where a channel stands.
type plateau struct {
	Since  fact.Time // wire time since which
	Came   int       // counts covered in the time before, signed
	Left   fact.Time // when it was left; 0: it stands
	Count  uint16    // what it stood at
	Lasted fact.Time
}

// See implements Watcher.
func (f *Flat) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, f.Tap) {
		f.N = 0
		return
	}
	if !judged(o, f.Tap) || signalOf(o.Frame) != fact.Live {
		return
	}
	if f.N > 0 && o.Wire-f.Past[flatPast-1].Wire > apart {
		f.N = 0
	}
	if f.N > 0 {
		for ch := range f.At {
			f.channel(ch, o, v, emit)
		}
	} else {
		for ch := range f.At {
			f.At[ch] = plateau{Since: o.Wire}
		}
	}
	copy(f.Past[:], f.Past[1:])
	f.Past[flatPast-1] = moment{o.Wire, o.Frame.Counts}
	f.N = min(f.N+1, flatPast)
}

func (f *Flat) channel(ch int, o *fact.Observation, v *View, emit fact.Emit) {
	p := &f.At[ch]
	was, now := f.Past[flatPast-1].Counts[ch], o.Frame.Counts[ch]
	if p.Left != 0 && o.Wire-p.Left >= flatReach {
		gone := int(now) - int(p.Count)
		if steady(p.Came) && steady(gone) && (p.Came > 0) == (gone < 0) && !v.Taps[f.Tap].Suspect {
			f.tell(ch, p, v, emit)
		}
		p.Left = 0
	}
	if now == was {
		return
	}
	if lasted := f.Past[flatPast-1].Wire - p.Since; lasted >= flatLeast {
		p.Left, p.Count, p.Lasted = f.Past[flatPast-1].Wire, was, lasted
	}
	if p.Left == 0 {
		p.Came = f.covered(ch, o, now)
	}
	p.Since = o.Wire
}

// covered is how far a channel came within the time before now, with its sign.
func (f *Flat) covered(ch int, o *fact.Observation, now uint16) int {
	from := now
	for i := flatPast - 1; i >= flatPast-f.N && o.Wire-f.Past[i].Wire <= flatReach; i-- {
		from = f.Past[i].Counts[ch]
	}
	return int(now) - int(from)
}

func steady(counts int) bool {
	n := max(counts, -counts)
	return n >= flatSlow && n <= flatFast
}

func (f *Flat) tell(ch int, p *plateau, v *View, emit fact.Emit) {
	c, ok := v.Sheet.Channel(ch + 1)
	if !ok || c.Kind != "stick" && c.Kind != "throttle" {
		return
	}
	t := &v.Taps[f.Tap]
	emit(fact.TravelClipped, p.Left-p.Lasted, "channel:"+strconv.Itoa(ch+1), fact.ClipData{
		Tap: t.Name, Channel: ch + 1, Count: int64(p.Count), WidthNS: v.Sheet.Scale.Width(int64(p.Count)),
		DwellNS: p.Lasted, Signal: t.Signal, Short: true,
	})
}

// Due implements Watcher.
func (f *Flat) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (f *Flat) Expire(fact.Time, *View, fact.Emit) {}
