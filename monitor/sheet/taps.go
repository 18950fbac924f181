package sheet

import (
	"fmt"

	"benchproof.example/decode/scale"
	"benchproof.example/monitor/unit"
)

// Tap is one place where the bench listens.
type Tap struct {
	Name     string
	Kind     string // "bus", "pulses" or "tilt"
	Protocol string // of a bus: its name, as the sheet has it; "": the sheet names none
	Top      string // of a phone on the model: where its top edge points, "nose", "tail", "left" or "right"
	Carries  string // of a bus: "heard" (as the transmitter sent), "stabilised", or "unknown"; of pulses always "unknown"
}

// HasPhone reports whether a phone on the model is a tap.
func (s *Sheet) HasPhone() bool {
	for _, t := range s.Taps {
		if t.Kind == "tilt" {
			return true
		}
	}
	return false
}

// HasLeads reports whether the servo leads are tapped: without that, nothing of the
// outputs can be seen.
func (s *Sheet) HasLeads() bool {
	for _, t := range s.Taps {
		if t.Kind == "pulses" {
			return true
		}
	}
	return false
}

// Tolerance is how far a width may lie from what the sheet says, ns.
type Tolerance struct {
	Position unit.Width // places of switches, sticks, knobs
	Preset   unit.Width // failsafe presets
	Neutral  unit.Width
}

// mostTaps leaves room below the 255 taps that a recording can number.
const mostTaps = 32

func (r *reader) taps(n *node) {
	r.sheet.Protocol, _ = r.protocols.Find("")
	entries := r.entries(n)
	if len(entries) > mostTaps {
		r.refuse(n, fmt.Sprintf("%d taps", len(entries)), fmt.Sprintf("at most %d taps", mostTaps))
	}
	for _, e := range entries {
		tap := Tap{Carries: "unknown"}
		tap.Name, _ = r.name(e.key)
		rec := r.record(e.value, "tap "+e.key.text)
		tap.Kind, _ = r.choice(rec.get("kind"))
		switch tap.Kind {
		case "pulses":
			rec.only("a tap on pulses", tap.Kind)
			r.only(e.key, tap.Kind, "one capture board a model: its inputs are numbered as the outputs")
		case "tilt":
			rec.only("a tap on tilt", tap.Kind)
			tap.Top, _ = r.choice(rec.get("top"))
			r.only(e.key, tap.Kind, "one phone on the model: two would lie in two ways")
		default:
			if tap.Kind == "bus" {
				rec.only("a tap on a bus", tap.Kind)
			}
			r.bus(&tap, rec)
		}
		r.sheet.Taps = append(r.sheet.Taps, tap)
	}
}

// bus reads what only a tap on a bus has.
func (r *reader) bus(tap *Tap, rec *record) {
	tap.Carries, _ = r.choice(rec.get("carries"))
	n := rec.get("protocol")
	tap.Protocol, _ = r.oneWord(n, r.protocols.Names())
	p, _ := r.protocols.Find(tap.Protocol)
	for _, other := range r.sheet.Taps {
		if other.Kind == "bus" && p != r.sheet.Protocol {
			at := n
			if at == nil {
				at = rec.at
			}
			r.refuse(at, fmt.Sprintf("the protocol %s, and tap %s has %s", p.Name, other.Name, r.sheet.Protocol.Name),
				"one protocol for all taps of a sheet, since the numbers of its channels and its scale are one")
			return
		}
	}
	r.sheet.Protocol = p
}

// only refuses a second tap of a kind; want says why there is one.
func (r *reader) only(key *node, kind, want string) {
	for _, t := range r.sheet.Taps {
		if t.Kind == kind {
			r.refuse(key, "a second tap on "+kind+", beside "+t.Name, want)
		}
	}
}

// longest is a width, ns, that no servo pulse reaches.
const longest = 10_000_000

// scale reads two points of the line between counts and widths.
func (r *reader) scale(n *node) {
	r.sheet.scaled(r.sheet.Protocol.Scale)
	if n == nil {
		return
	}
	r.scaleless = !r.clean(func() { r.readScale(n) })
}

func (r *reader) readScale(n *node) {
	rec := r.record(n, "the scale")
	countA, countB, okCounts := r.pair(rec.get("counts"), "two counts such as [172, 1811]")
	widthA, widthB, okWidths := r.pair(rec.get("us"), "two widths such as [988, 2012]")
	if !okCounts || !okWidths {
		return
	}
	var read scale.Scale
	ok := r.clean(func() {
		for i, c := range []*node{countA, countB} {
			read.Counts[i] = r.count(c)
		}
		for i, w := range []*node{widthA, widthB} {
			width, _ := r.widthBetween(w, 1, longest, "a width above 0 and up to "+micros(longest))
			read.Nanos[i] = int64(width)
		}
	})
	if !ok {
		return
	}
	if err := read.Check(); err != nil {
		r.refuse(n, "two points that make no line: "+err.Error(), "counts: [172, 1811], us: [988, 2012] or the like")
		return
	}
	if r.fresh && swapped(read) {
		r.refuse(n, fmt.Sprintf("widths of %s and %s at counts %d and %d: below %s is no servo pulse, so counts and widths are taken for each other",
			micros(unit.Width(read.Nanos[0])), micros(unit.Width(read.Nanos[1])), read.Counts[0], read.Counts[1], micros(leastPulse)),
			"counts: [172, 1811] with us: [988, 2012], or the two points of the receiver's manual,")
		return
	}
	r.sheet.scaled(read)
}

// count reads a bus count. One that the bus can't carry is a width, most likely.
func (r *reader) count(n *node) int64 {
	least, most := int64(r.sheet.Protocol.Range[0]), int64(r.sheet.Protocol.Range[1])
	if n.shape == number {
		if value, ok := decimal(n.text, 0); ok && value > most {
			r.refuse(n, fmt.Sprintf("%s as a count, which can only be a width in microseconds: the bus carries counts up to %d", n.text, most),
				fmt.Sprintf("a count, a whole number from %d to %d,", least, most))
			return 0
		}
	}
	count, _ := r.wholeBetween(n, least, most)
	return int64(count)
}

// leastPulse is the narrowest width that servos take, ns (common practice: 700 µs).
const leastPulse = 700_000

// swapped reports a scale whose widths can only be counts: one is narrower than a
// servo pulse, and either the counts look like widths or the widths were copied from
// the counts. Narrow pulses, near 760 µs at neutral, are neither.
func swapped(s scale.Scale) bool {
	if min(s.Nanos[0], s.Nanos[1]) >= leastPulse {
		return false
	}
	return min(s.Counts[0], s.Counts[1])*1000 >= leastPulse || alike(s)
}

// alike reports that both counts of a scale are the number of its width in
// microseconds, or nearly: what the transmitter shows, copied.
func alike(s scale.Scale) bool {
	const near = 50_000 // ns: 1000 for 988
	return unit.Abs(s.Counts[0]*1000-s.Nanos[0]) <= near && unit.Abs(s.Counts[1]*1000-s.Nanos[1]) <= near
}

func (r *reader) tolerance(n *node) {
	rec := r.record(n, "the tolerance")
	least, most := unit.Width(r.sheet.Scale.PerCount()), unit.Width(200_000)
	want := fmt.Sprintf("a tolerance from %s (one count of the bus) to %s", micros(least), micros(most))
	t := &r.sheet.Tolerance
	t.Position, _ = r.widthBetween(rec.get("position"), least, most, want)
	t.Preset, _ = r.widthBetween(rec.get("preset"), least, most, want)
	t.Neutral, _ = r.widthBetween(rec.get("neutral"), least, most, want)
}
