// Package controls holds the watchers of what the transmitter's controls do.
package controls

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	settleSame = 500 * unit.Millisecond // within one position: someone trims it
)

// Position says where a switch stands. Each position of the sheet owns the
// widths nearest to it; to leave, a value must go a tenth of the way beyond the
// middle between two of them (hysteresis), and must then stand still for a while
// (debounce). Where the receiver misses frames just then, it is reported with the next live
// one.
//
//	back 988          middle 1500         front 2012
//	 |--------------------|--------------------|
//	          :<->:                :<->:
//	        hysteresis           hysteresis
type Position struct {
	Tap     uint8
	Channel int // number

	Known bool // a position has been reported
	Place int  // index of it in the sheet
	Width unit.Width

	Next   int // the candidate
	NextAt unit.Width
	From   unit.Time
	Last   unit.Time // wire time of its latest frame
	Frames int
}

// See implements Watcher.
func (p *Position) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, p.Tap) {
		p.Frames = 0
		return
	}
	if !base.Judgeable(o, p.Tap) {
		return
	}
	c, ok := v.Sheet.Channel(p.Channel)
	if !ok || len(c.Places) == 0 {
		return
	}
	p.frame(c, base.Width(v.Sheet, o.Frame, p.Channel), o, v, emit)
}

// frame takes a width of the channel.
func (p *Position) frame(c *sheet.Channel, w unit.Width, o *event.Observation, v *base.View, emit event.Emit) {
	place := p.nearest(c, w)
	if p.Frames == 0 || o.Wire.Sub(p.Last) > base.MaxFrameStep || place != p.Next || unit.Abs(w-p.NextAt) > v.Sheet.Tolerance.Position/4 {
		p.Next, p.NextAt, p.From, p.Frames = place, w, o.Wire, 0
	}
	p.Frames++
	p.Last = o.Wire
	if p.Frames >= base.SettleFrames && o.Wire.Sub(p.From) >= p.wait() && p.news(v.Sheet) && v.Taps[p.Tap].Signal != event.SignalMissed {
		p.report(c, v, emit)
	}
}

// nearest is the index of the position that owns a width. The position reported last
// keeps its widths a little beyond the middle.
func (p *Position) nearest(c *sheet.Channel, w unit.Width) int {
	best := 0
	for i := range c.Places {
		if unit.Abs(w-c.Places[i].Width) < unit.Abs(w-c.Places[best].Width) {
			best = i
		}
	}
	if !p.Known || best == p.Place {
		return best
	}
	was, now := c.Places[p.Place].Width, c.Places[best].Width
	if unit.Abs(w-was)-unit.Abs(w-now) < unit.Abs(now-was)/5 { // a tenth beyond the middle on one side is a fifth of difference
		return p.Place
	}
	return best
}

func (p *Position) wait() unit.Duration {
	if p.Known && p.Next == p.Place {
		return settleSame
	}
	return base.SettleTime
}

func (p *Position) news(s *sheet.Sheet) bool {
	return !p.Known || p.Next != p.Place || unit.Abs(p.NextAt-p.Width) > s.Tolerance.Position/2
}

func (p *Position) report(c *sheet.Channel, v *base.View, emit event.Emit) {
	t := &v.Taps[p.Tap]
	off := p.NextAt - c.Places[p.Next].Width
	d := event.SwitchData{
		Tap: t.Name, To: c.Places[p.Next].Name, WidthNS: p.NextAt, OffNS: off,
		Within: unit.Abs(off) <= v.Sheet.Tolerance.Position, Signal: t.Signal, Suspect: t.Suspect,
	}
	if p.Known {
		d.Was = c.Places[p.Place].Name
	}
	p.Known, p.Place, p.Width = true, p.Next, p.NextAt
	emit(event.SwitchMoved, p.From, event.AboutSwitch.Called(c.Name), d)
}

// Rests implements base.Sleeper: where it stands was reported.
func (p *Position) Rests(_ base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if p.Frames == 0 || p.news(v.Sheet) {
		return 0, 0
	}
	return base.SetOf(v.Protocol, p.Channel), unit.Never
}

// Pass implements base.Sleeper.
func (p *Position) Pass(n int, c base.Calm, _ *base.View) {
	p.Frames += n
	p.Last = c.Wire(0)
}
