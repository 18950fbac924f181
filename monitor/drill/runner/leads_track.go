package runner

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const (
	tenth       = 100 * unit.Millisecond // widths are kept as their sums over this long
	restTo      = 10                     // tenths before an answer that a late width is the mean of
	restFrom    = 5                      // tenths before a prompt that the width at it is the middle of
	ahead       = 6                      // tenths before a prompt from which on a hand may have begun: half a second, whatever the tenths' borders
	restTenths  = 11                     // tenths before a prompt from which on it shows where the output rested
	earlyTenths = 25                     // tenths before a prompt in which a tilt that came far too early would show
	kept        = 60                     // tenths: those of a tilt that is held, and a second more
	// pulseHole: without a pulse for this long, those before say nothing about the next.
	// Three periods of the slowest servo pulses are less.
	pulseHole = 250 * unit.Millisecond
)

// LeadsTrack follows the servo leads from a prompt to its answer, beside a Track.
// One pulse settles nothing, so a width is the middle one of three in a row.
type LeadsTrack struct {
	Outputs []OutputTrack `json:"outputs"` // ascending
}

// OutputTrack is one output.
//
//	                     prompt                           answer
//	. . . . . .|. . .|. . .|. . . . . . . . . . . . . . . . .|
//	           \____/ \____/  least and most        \________/
//	            Rest   From                           late
//	                  \ low and high, for a hand ahead of the count
type OutputTrack struct {
	Output int          `json:"output"`
	Epoch  int          `json:"epoch"` // of the board's clock
	Last   unit.Time    `json:"last"`  // end of the latest pulse
	Window []unit.Width `json:"window"`
	Tenths []TenthSums  `json:"tenths"` // the latest

	From   unit.Width `json:"from"`   // at the prompt, 0: it was silent
	Sway   unit.Width `json:"sway"`   // to and fro before it
	Least  unit.Width `json:"least"`  // since the prompt, 0: none was heard
	Most   unit.Width `json:"most"`   // likewise
	Pulses int64      `json:"pulses"` // since the prompt

	Since unit.Time  `json:"since"` // the prompt
	Rest  unit.Width `json:"rest"`  // before any hand began, 0: it was silent
	Stir  unit.Width `json:"stir"`  // to and fro up to then
	Low   Turn       `json:"low"`   // since then
	High  Turn       `json:"high"`

	First    unit.Time  `json:"first"`    // end of the first pulse since the prompt, 0: none was heard
	Anchor   unit.Width `json:"anchor"`   // where it stands, 0: no width since the prompt
	Anchored unit.Time  `json:"anchored"` // since then

	Left unit.Time `json:"left,omitempty"` // when it first was away from where it stood at the prompt, 0: it was not
}

// tenthOf is the number of the tenth that a date lies in.
func tenthOf(at unit.Time) int64 { return int64(at) / int64(tenth) }

// begins is when the tenth began.
func (t *TenthSums) begins() unit.Time { return unit.Time(t.Number * int64(tenth)) }

// mean is the mean width.
func (t *TenthSums) mean() unit.Width { return unit.Width(t.Sum / t.Widths) }

// Turn is where an output turned back. Width 0: none was heard.
type Turn struct {
	Width unit.Width    `json:"width"`
	At    unit.Duration `json:"at"` // from the prompt
}

// TenthSums sums the widths of a tenth of a second.
type TenthSums struct {
	Number int64      `json:"number"` // bench time in tenths
	Sum    int64      `json:"sum"`    // ns
	Widths int64      `json:"widths"`
	Least  unit.Width `json:"least"`
	Most   unit.Width `json:"most"`
}

// pulse takes a pulse that ended at wire. Outputs beyond those that a sheet can
// name are left out.
func (t *LeadsTrack) pulse(p *event.Pulse, wire unit.Time) {
	if p.Output < 1 || p.Output > sheet.MaxOutputs {
		return
	}
	t.at(p.Output).pulse(p, wire)
}

// at finds the track of an output.
func (t *LeadsTrack) at(output int) *OutputTrack {
	i, ok := slices.BinarySearchFunc(t.Outputs, output, func(o OutputTrack, output int) int { return o.Output - output })
	if !ok {
		t.Outputs = slices.Insert(t.Outputs, i, OutputTrack{Output: output})
	}
	return &t.Outputs[i]
}

// begin starts anew at a prompt, but for the widths of just before.
func (t *LeadsTrack) begin(at unit.Time) {
	for i := range t.Outputs {
		o := &t.Outputs[i]
		o.From, o.Sway = middle(o.since(tenthOf(at)-restFrom)), stray(o.upTo(at, restTenths))
		o.Least, o.Most, o.Pulses = 0, 0, 0
		o.Since, o.Rest, o.Stir = at, middle(o.upTo(at, restTenths)), stray(o.upTo(at, earlyTenths))
		o.Low, o.High = Turn{}, Turn{}
		o.First, o.Anchor, o.Left = 0, 0, 0
		for _, t := range o.since(tenthOf(at) - ahead) {
			o.turns(t.Least, t.begins())
			o.turns(t.Most, t.begins())
		}
	}
}

// turns takes a width since a hand may have begun.
func (o *OutputTrack) turns(w unit.Width, at unit.Time) {
	after := at.Sub(o.Since)
	if o.Low.Width == 0 || w < o.Low.Width {
		o.Low = Turn{w, after}
	}
	if o.High.Width == 0 || w > o.High.Width {
		o.High = Turn{w, after}
	}
}

// moves reports what the outputs did up to an answer: those that the sheet names and
// those that were heard.
func (t *LeadsTrack) moves(named []sheet.Output, at unit.Time) []event.OutputMove {
	for i := range named {
		t.at(named[i].Number)
	}
	list := make([]event.OutputMove, 0, len(t.Outputs))
	for i := range t.Outputs {
		o := &t.Outputs[i]
		list = append(list, event.OutputMove{
			Output: o.Output, FromNS: o.From, SwayNS: o.Sway, LeastNS: o.Least, MostNS: o.Most, EndMeanNS: o.late(at), Pulses: o.Pulses,
			TiltRestNS: o.Rest, TiltSwayNS: o.Stir, TiltLeastNS: o.Low.Width, TiltMostNS: o.High.Width,
			TiltLeastAtNS: o.Low.At, TiltMostAtNS: o.High.At, TiltAwayNS: o.away(),
		})
	}
	return list
}

func (o *OutputTrack) pulse(p *event.Pulse, wire unit.Time) {
	if p.Epoch != o.Epoch || wire.Sub(o.Last) > pulseHole {
		o.Window, o.Anchor = o.Window[:0], 0
	}
	if o.First == 0 {
		o.First = wire
	}
	o.Epoch, o.Last = p.Epoch, wire
	o.Pulses++
	if len(o.Window) == 3 {
		o.Window = o.Window[:copy(o.Window, o.Window[1:])]
	}
	if o.Window = append(o.Window, p.Width); len(o.Window) < 3 {
		return
	}
	o.width(median.Of(o.Window), wire)
}

func (o *OutputTrack) width(w unit.Width, wire unit.Time) {
	if o.Least == 0 {
		o.Least = w
	}
	o.Least, o.Most = min(o.Least, w), max(o.Most, w)
	o.turns(w, wire)
	o.anchor(w, wire)
	if o.Left == 0 && o.From != 0 && unit.Abs(w-o.From) >= restSway {
		o.Left = wire
	}
	n := len(o.Tenths)
	if number := tenthOf(wire); n == 0 || o.Tenths[n-1].Number != number {
		if n >= kept {
			o.Tenths = o.Tenths[:copy(o.Tenths, o.Tenths[1:])]
		}
		o.Tenths = append(o.Tenths, TenthSums{Number: number, Least: w, Most: w})
	}
	latest := &o.Tenths[len(o.Tenths)-1]
	latest.Sum += int64(w)
	latest.Widths++
	latest.Least, latest.Most = min(latest.Least, w), max(latest.Most, w)
}

// late is the mean width of the second before a date, 0 where none was heard.
func (o *OutputTrack) late(at unit.Time) unit.Width {
	var sum, widths int64
	for _, t := range o.since(tenthOf(at) - restTo) {
		sum += t.Sum
		widths += t.Widths
	}
	if widths == 0 {
		return 0
	}
	return unit.Width(sum / widths)
}

// away is for how long an output stood at half or more of the way from where it had
// rested to the farther of its two extremes.
func (o *OutputTrack) away() (d unit.Duration) {
	far := o.High.Width - o.Rest
	if o.Rest-o.Low.Width > far {
		far = o.Low.Width - o.Rest
	}
	if far == 0 || o.Rest == 0 {
		return 0
	}
	for _, t := range o.since(tenthOf(o.Since) - ahead) {
		off := t.mean() - o.Rest
		if far < 0 {
			off = -off
		}
		if 2*off >= max(far, -far) {
			d += tenth
		}
	}
	return d
}

// middle is the middle one of the means of tenths, so that a hand which begins a little
// early changes nothing. 0 where there are none.
func middle(tenths []TenthSums) unit.Width {
	means := make([]unit.Width, 0, restTo)
	for _, t := range tenths {
		means = append(means, t.mean())
	}
	if len(means) == 0 {
		return 0
	}
	slices.Sort(means)
	return means[(len(means)-1)/2]
}

// stray is how far an output went to and fro in some tenths. 0 where there are none.
func stray(tenths []TenthSums) unit.Width {
	var least, most unit.Width
	for _, t := range tenths {
		if least == 0 {
			least = t.Least
		}
		least, most = min(least, t.Least), max(most, t.Most)
	}
	return most - least
}

// upTo are the tenths from that many before a prompt up to half a second before it, when
// no hand has begun yet.
func (o *OutputTrack) upTo(at unit.Time, from int64) []TenthSums {
	list := o.since(tenthOf(at) - from)
	if i := slices.IndexFunc(list, func(t TenthSums) bool { return t.Number > tenthOf(at)-ahead }); i >= 0 {
		return list[:i]
	}
	return list
}

// since are the tenths after one.
func (o *OutputTrack) since(number int64) []TenthSums {
	i := slices.IndexFunc(o.Tenths, func(t TenthSums) bool { return t.Number > number })
	if i < 0 {
		return nil
	}
	return o.Tenths[i:]
}
