package drill

import (
	"benchproof.example/monitor/median"
	"slices"

	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	tenth     = 100 * fact.Millisecond // widths are kept as their sums over so long
	lastly    = 10                     // tenths before an answer that a late width is the mean of
	firstly   = 5                      // tenths before a prompt that the width at it is the middle of; those before them show whether it rested
	pulseHole = 250 * fact.Millisecond // without a pulse for so long, those before say nothing about the next: three periods of the slowest servo pulses are less
)

// OutTrack follows the servo leads from a prompt to its answer, beside a Track.
// One pulse settles nothing, so a width is the middle one of three in a row.
type OutTrack struct {
	Outputs []OutputTrack `json:"outputs"` // ascending
}

// OutputTrack is one output.
//
//	              prompt                           answer
//	. . . . .|. . .|. . . . . . . . . . . . . . . . .|
//	         \____/  least and most        \________/
//	          From                           late
type OutputTrack struct {
	Output int       `json:"output"`
	Epoch  int       `json:"epoch"` // of the board's clock
	Last   fact.Time `json:"last"`  // end of the latest pulse
	Window []int64   `json:"window"`
	Tenths []Tenth   `json:"tenths"` // the latest, at most a second and the one under way

	From   int64 `json:"from"`   // at the prompt, 0: it was silent
	Sway   int64 `json:"sway"`   // to and fro before it
	Least  int64 `json:"least"`  // since the prompt, 0: none was heard
	Most   int64 `json:"most"`   // likewise
	Pulses int64 `json:"pulses"` // since the prompt
}

// Tenth sums the widths of a tenth of a second.
type Tenth struct {
	Number fact.Time `json:"number"` // bench time in tenths
	Sum    int64     `json:"sum"`    // ns
	Widths int64     `json:"widths"`
	Least  int64     `json:"least"`
	Most   int64     `json:"most"`
}

// pulse takes a pulse that ended at wire. Outputs beyond those that a sheet can
// name are left out.
func (t *OutTrack) pulse(p *pulse.Pulse, wire fact.Time) {
	if p.Output < 1 || p.Output > sheet.LastOutput {
		return
	}
	t.at(p.Output).pulse(p, wire)
}

// at finds the track of an output.
func (t *OutTrack) at(output int) *OutputTrack {
	i, ok := slices.BinarySearchFunc(t.Outputs, output, func(o OutputTrack, output int) int { return o.Output - output })
	if !ok {
		t.Outputs = slices.Insert(t.Outputs, i, OutputTrack{Output: output})
	}
	return &t.Outputs[i]
}

// begin starts anew at a prompt, but for the widths of just before.
func (t *OutTrack) begin(at fact.Time) {
	for i := range t.Outputs {
		o := &t.Outputs[i]
		o.From, o.Sway = o.before(at), o.sway(at)
		o.Least, o.Most, o.Pulses = 0, 0, 0
	}
}

// moves tells what the outputs did up to an answer: those that the sheet names and
// those that were heard.
func (t *OutTrack) moves(named []sheet.Output, at fact.Time) []fact.OutputMove {
	for i := range named {
		t.at(named[i].Number)
	}
	list := make([]fact.OutputMove, 0, len(t.Outputs))
	for i := range t.Outputs {
		o := &t.Outputs[i]
		list = append(list, fact.OutputMove{
			Output: o.Output, FromNS: o.From, SwayNS: o.Sway, LeastNS: o.Least, MostNS: o.Most, LateNS: o.late(at), Pulses: o.Pulses,
		})
	}
	return list
}

func (o *OutputTrack) pulse(p *pulse.Pulse, wire fact.Time) {
	if p.Epoch != o.Epoch || wire-o.Last > pulseHole {
		o.Window = o.Window[:0]
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

func (o *OutputTrack) width(w int64, wire fact.Time) {
	if o.Least == 0 {
		o.Least = w
	}
	o.Least, o.Most = min(o.Least, w), max(o.Most, w)
	n := len(o.Tenths)
	if number := wire / tenth; n == 0 || o.Tenths[n-1].Number != number {
		if n > lastly {
			o.Tenths = o.Tenths[:copy(o.Tenths, o.Tenths[1:])]
		}
		o.Tenths = append(o.Tenths, Tenth{Number: number, Least: w, Most: w})
	}
	latest := &o.Tenths[len(o.Tenths)-1]
	latest.Sum += w
	latest.Widths++
	latest.Least, latest.Most = min(latest.Least, w), max(latest.Most, w)
}

// late is the mean width of the second before a date, 0 where none was heard.
func (o *OutputTrack) late(at fact.Time) int64 {
	var sum, widths int64
	for _, t := range o.since(at/tenth - lastly) {
		sum += t.Sum
		widths += t.Widths
	}
	if widths == 0 {
		return 0
	}
	return sum / widths
}

// before is where an output stood in the half second before a date: the middle of
// its tenths, so that a hand which begins a little early changes nothing. 0 where
// none was heard.
func (o *OutputTrack) before(at fact.Time) int64 {
	means := make([]int64, 0, firstly+1)
	for _, t := range o.since(at/tenth - firstly) {
		means = append(means, t.Sum/t.Widths)
	}
	if len(means) == 0 {
		return 0
	}
	slices.Sort(means)
	return means[(len(means)-1)/2]
}

// sway is how far an output went to and fro in the half second before the one that
// before looks at, in which no hand has begun yet. 0 where none was heard.
func (o *OutputTrack) sway(at fact.Time) int64 {
	var least, most int64
	for _, t := range o.since(at/tenth - lastly) {
		if t.Number > at/tenth-firstly {
			break
		}
		if least == 0 {
			least = t.Least
		}
		least, most = min(least, t.Least), max(most, t.Most)
	}
	return most - least
}

// since are the tenths after one.
func (o *OutputTrack) since(number fact.Time) []Tenth {
	i := slices.IndexFunc(o.Tenths, func(t Tenth) bool { return t.Number > number })
	if i < 0 {
		return nil
	}
	return o.Tenths[i:]
}
