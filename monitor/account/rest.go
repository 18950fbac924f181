package account

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/drift"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// restRange is how far widths stray in a minute at most that count as at rest. A receiver's
	// jitter is a few microseconds (from memory), and what moves a surface is more.
	restRange = 20_000
	// mostMeans is how many means are kept of each before they are merged two by two.
	mostMeans = 240
	// nothing stands for a slot in which nothing rested.
	nothing = 1 << 30
)

// slots say which slot of time the means are in.
type slots struct {
	Width  unit.Duration // of a slot: a minute at first
	Minute int64         // the one under way, since the session began
	In     int64         // minutes in the slot that is not full
}

// Rest is a width that should stay where it is: the neutral of a stick on the bus, as it is
// once a second, or an output, each of its pulses. Minutes in which it rested become means.
//
//	widths   ------------/\--------------------
//	minutes  | mean | mean | no | mean | mean |
type Rest struct {
	Output bool
	Number int // of the output or channel
	Name   string

	Reference    unit.Width // the first width: the others are counted from there
	Sum, N       int64      // of the minute under way
	Least, Most  unit.Width
	Last         unit.Width
	Strayed      unit.Width // from width to width, added up
	Bad          bool       // it was not watched the whole minute long
	Group        int64      // means of the minutes of the slot under way, added up,
	GroupN       int64      // and how many
	Means        []unit.Width
	Rested       unit.Duration
	Moved        unit.Duration
	Jitter, From int64 // over all minutes at rest: Strayed, and between how many widths
}

// restsOf are those of a sheet, outputs first; neutrals where a bus is listened to.
func restsOf(s *sheet.Sheet, bus bool) (list []Rest) {
	for i := range s.Outputs {
		if s.HasLeads() {
			list = append(list, Rest{Output: true, Number: s.Outputs[i].Number, Name: s.Outputs[i].Surface})
		}
	}
	for i := range s.Channels {
		if c := &s.Channels[i]; bus && c.Kind == sheet.Stick && c.Neutral != 0 && !s.Digital(c.Number) {
			list = append(list, Rest{Number: c.Number, Name: c.Name})
		}
	}
	return list
}

// pulse takes the width of an output.
func (a *Account) pulse(o *event.Observation) {
	t := &a.Taps[o.Tap]
	t.Up = true // a plug that was put in in a gap of the recording is not in it
	t.stands(o, a.aside())
	for i := range a.Rests {
		if r := &a.Rests[i]; r.Number == o.Pulse.Output {
			if r.Output {
				r.add(o.Pulse.Width)
			}
			return
		}
	}
}

// look takes what the sticks stand at on the first bus.
func (a *Account) look(v *base.View) {
	bus := v.FirstBus()
	if bus == event.BenchTap || a.Taps[bus].Was != live {
		return
	}
	window := v.Cleaned(bus).Window
	if len(window) == 0 {
		return
	}
	counts := &window[len(window)/2].Counts
	for i := range a.Rests {
		if r := &a.Rests[i]; !r.Output {
			r.add(v.Sheet.Width(counts[r.Number-1]))
		}
	}
}

func (r *Rest) add(w unit.Width) {
	switch {
	case r.Reference == 0:
		r.Reference = w
		fallthrough
	case r.N == 0:
		r.Least, r.Most = w, w
	default:
		r.Strayed += unit.Abs(w - r.Last)
	}
	r.Sum += int64(w - r.Reference)
	r.N++
	r.Least, r.Most, r.Last = min(r.Least, w), max(r.Most, w), w
}

// drop leaves the minute under way out.
func (r *Rest) drop() { r.Bad = true }

// minute closes the minutes that are over.
func (a *Account) minute(at unit.Time, v *base.View) {
	bus := v.FirstBus()
	if bus != event.BenchTap && a.Taps[bus].Was != live || a.alone() && a.leads().Was != live {
		for i := range a.Rests {
			a.Rests[i].drop()
		}
	}
	for now := int64(at.Sub(a.Since) / unit.Minute); a.Slot.Minute < now; a.Slot.Minute++ {
		a.Slot.In++
		full := a.Slot.In >= int64(a.Slot.Width/unit.Minute)
		for i := range a.Rests {
			a.Rests[i].minute()
			if full {
				a.Rests[i].slot()
			}
		}
		if full {
			a.Slot.In = 0
			a.halve()
		}
	}
}

// halve merges slots two by two where they are too many; all have as many.
func (a *Account) halve() {
	if len(a.Rests) == 0 || len(a.Rests[0].Means) < mostMeans {
		return
	}
	for i := range a.Rests {
		r := &a.Rests[i]
		for k := range mostMeans / 2 {
			r.Means[k] = merged(r.Means[2*k], r.Means[2*k+1])
		}
		r.Means = r.Means[:mostMeans/2]
	}
	a.Slot.Width *= 2
}

func merged(a, b unit.Width) unit.Width {
	switch {
	case a == nothing:
		return b
	case b == nothing:
		return a
	}
	return (a + b) / 2
}

// minute closes a minute.
func (r *Rest) minute() {
	switch {
	case r.N == 0 || r.Bad:
	case r.Most-r.Least > restRange:
		r.Moved += unit.Minute
	default:
		r.Group += r.Sum / r.N
		r.GroupN++
		r.Rested += unit.Minute
		r.Jitter += int64(r.Strayed)
		r.From += r.N - 1
	}
	r.Sum, r.N, r.Strayed, r.Bad = 0, 0, 0, false
}

// slot closes a slot.
func (r *Rest) slot() {
	mean := unit.Width(nothing)
	if r.GroupN > 0 {
		mean = unit.Width(r.Group / r.GroupN)
	}
	r.Means = append(r.Means, mean)
	r.Group, r.GroupN = 0, 0
}

// means are the slots as the fit takes them.
func (r *Rest) means() (list []drift.Mean) {
	for _, m := range r.Means {
		if m == nothing {
			list = append(list, drift.Mean{})
		} else {
			list = append(list, drift.Mean{Sum: m, N: 1})
		}
	}
	return list
}
