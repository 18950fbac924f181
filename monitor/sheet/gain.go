package sheet

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// The laws by which a gain channel sets the stabiliser's gain.
const (
	Folded      = "folded"       // none at zero, full at either end
	OneSided    = "one-sided"    // none at zero, full at one end
	SignSelects = "sign-selects" // the side of zero chooses the behaviour, the distance the gain
	InReceiver  = "in-receiver"  // set in the receiver: no channel
)

// Gain says how the stabiliser's gain is set.
type Gain struct {
	Law     string
	Channel int          // 0 with InReceiver
	Zero    unit.Width   // width of no gain, ns
	Full    []unit.Width // widths of full gain, ns: two, as in the sheet; one with OneSided
}

func (r *reader) gain(n *node) {
	if n == nil {
		return
	}
	rec := r.record(n, "gain")
	law, ok := r.choice(rec.get("law"))
	if !ok {
		return
	}
	g := &Gain{Law: law}
	r.sheet.Gain = g
	if law == InReceiver {
		rec.only("gain set in the receiver", law)
		return
	}
	if c, ok := r.channel(rec.get("channel")); ok {
		g.Channel = c.Number
		if c.Kind != "" && c.Kind != Knob && c.Kind != Fixed && c.Kind != Switch {
			r.refuse(rec.get("channel"), fmt.Sprintf("%s, a channel of kind %s, for the gain", c.Name, c.Kind), "a knob, a switch or a fixed channel")
		}
	}
	zero, zeroRead := r.width(rec.get("zero"))
	g.Zero = zero
	if law == OneSided {
		r.oneFull(g, rec, zeroRead)
		return
	}
	r.twoFull(g, rec, zeroRead)
}

func (r *reader) oneFull(g *Gain, rec *record, zeroRead bool) {
	n := rec.get("full")
	full, ok := r.width(n)
	if !ok {
		return
	}
	if zeroRead && full == g.Zero {
		r.refuse(n, "full gain where the gain is zero", "a width other than "+micros(g.Zero))
	}
	g.Full = []unit.Width{full}
}

func (r *reader) twoFull(g *Gain, rec *record, zeroRead bool) {
	n := rec.get("full")
	a, b, ok := r.pair(n, "two widths such as [988, 2012]")
	if !ok {
		return
	}
	first, okFirst := r.width(a)
	second, okSecond := r.width(b)
	lo, hi := ordered(first, second)
	if okFirst && okSecond && zeroRead && (g.Zero <= lo || g.Zero >= hi) {
		r.refuse(n, fmt.Sprintf("full gain at %s and %s, with zero gain at %s not between them", micros(first), micros(second), micros(g.Zero)),
			"one width on each side of zero")
	}
	g.Full = []unit.Width{first, second}
}
