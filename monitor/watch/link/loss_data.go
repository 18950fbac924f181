package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// end reports a loss. back is the wire time of the first live frame, -1 for none.
func (l *Loss) end(back unit.Time, v *base.View, emit event.Emit) {
	x := l.Open
	if x.Stop == 0 {
		l.stop()
	}
	if x.Restarted != 0 && x.Silent == 0 {
		x.Stop = min(x.Stop, x.Restarted)
	}
	if back >= 0 {
		x.Stop = min(x.Stop, back)
	} else {
		l.Link.LiveAt = 0 // what goes on is still this one
	}
	l.Open, l.Ended = nil, max(x.At, x.Stop, back)
	moved := x.date(v)
	t := &v.Taps[l.Tap]
	d := event.LossData{
		Tap: t.Name, Drill: x.Drill, DatedBy: x.By, LiveNS: x.At, DoubtNS: x.Doubt, UpNS: x.Up, WatchedNS: x.Stop.Sub(x.At),
		LostNS: x.after(x.Flags.Lost), FailsafeNS: x.after(x.Flags.Failsafe), SilentNS: x.after(x.Silent),
		OnNS: x.after(x.On), BackNS: -1, SettledNS: -1, ModeNS: -1, EndedNS: x.after(l.Link.Last),
	}
	if back >= 0 {
		d.BackNS = back.Sub(x.At)
		d.BackUnheardNS = l.backUnheard(x, back)
		t.Back, t.Suspect = max(t.Back, back), false // these leapt to where the transmitter has them
	}
	if d.FailsafeNS >= 0 {
		d.FlagUnheardNS = min(earlierBy(x.Flags.NotYet, x.Flags.Failsafe), d.FailsafeNS)
	}
	d.Flag = x.flag(&d, v)
	for ch := range v.Protocol.Channels {
		d.Channels = append(d.Channels, x.channel(ch, v))
	}
	x.whole(&d, moved, v)
	emit(event.LossMeasured, x.At, t.About(), d)
}

// earlierBy is by how much earlier something may have come that a frame shows, where the latest one that could show it
// came before: 0 for what is known to a frame or two.
func earlierBy(before, at unit.Time) unit.Duration {
	if by := at.Sub(before); by > base.MaxFrameStep {
		return by
	}
	return 0
}

// backUnheard is by how much earlier the signal may have been back. A bus that was silent until then shows it
// to the frame, unless frames were read late.
func (l *Loss) backUnheard(x *lossState, back unit.Time) unit.Duration {
	switch {
	case x.On == 0, x.Silent != 0 && l.Late <= l.Link.Before:
		return 0
	case x.Flags.Believed || x.Silent != 0:
		return earlierBy(l.Link.Before, back)
	}
	return l.Earlier
}

// date finds the last live frame of a loss that no flag dates anew: hands that went
// on were live. It reports that they moved until long after the builder's word, and
// did not break off: then nothing was lost.
func (x *lossState) date(v *base.View) (moved bool) {
	if x.BuilderSaid == 0 || x.Drill == "" || x.Flags.Believed || x.Silent != 0 {
		return false
	}
	last := x.Seen.last(heartbeatMask(v), v)
	if !last.ByHand || last.At <= x.At {
		return false
	}
	stood := x.Stop.Sub(last.At)
	sure := last.Sure && stood >= lossFrozen
	if !sure && (stood <= packet || last.At > x.BuilderSaid.Add(lossFlagWait)) {
		return true
	}
	x.At, x.Was = last.At, last.Counts
	if sure {
		x.By = moving(v)
	}
	return false
}

// after is a moment from the last live frame, -1 where it never came.
func (x *lossState) after(at unit.Time) unit.Duration {
	if at == 0 {
		return -1
	}
	return max(0, at.Sub(x.At))
}

func (x *lossState) flag(d *event.LossData, v *base.View) event.FlagClass {
	switch {
	case d.FailsafeNS >= 0 && (d.FailsafeNS-d.FlagUnheardNS <= within(v) || x.By == "unknown" || x.By == becauseLeapt):
		return event.FlagClassInTime
	case d.FailsafeNS >= 0:
		return event.FlagClassLate
	case d.LostNS >= 0:
		return event.FlagClassLostOnly
	}
	return event.FlagClassNever
}

// movesOn is in how many frames a channel changes that goes on moving: one that goes
// to a preset, held first or not, does so in fewer.
const movesOn = burstHand

// stoodLeast is how long a channel stands at the end of what was seen, where it is no
// longer on its way.
const stoodLeast = 500 * unit.Millisecond

// channel reports what one channel did, ch from 0.
func (x *lossState) channel(ch int, v *base.View) event.LossChannel {
	was, now := x.Was[ch], x.Seen.Now[ch]
	c := event.LossChannel{WasNS: v.Sheet.Width(was), NowNS: v.Sheet.Width(now)}
	first, last, frames := x.Seen.since(x.At, x.Stop, ch)
	if first != 0 {
		c.HeldNS, c.SettledNS = max(0, first.Sub(x.At)), last.Sub(x.At)
	}
	underWay := last != 0 && x.Stop.Sub(last) < stoodLeast && frames > burstStep
	long := last.Sub(first) > burstRamp || last.Sub(first) >= lossStands && x.Stop.Sub(last) < lossStands
	switch {
	case long && frames >= movesOn:
		c.Class = event.LossMoving
	case underWay:
		c.Class = event.LossUnderWay
	case unit.Abs(c.NowNS-c.WasNS) > v.Sheet.Tolerance.Preset:
		c.Class = event.LossPreset
	case x.Silent != 0:
		c.Class = event.LossSilent
	case x.holds(ch, c.WasNS, v):
		c.Class = event.LossHold
	default:
		c.Class = event.LossUnclear
	}
	return c
}

// holds reports that a channel which stayed was held: it stood where it neither
// rests by itself nor is put by the sheet's presets. A preset just there would be
// a coincidence. Unless the loss is known to be one, nothing holds.
func (x *lossState) holds(ch int, width unit.Width, v *base.View) bool {
	c, ok := v.Sheet.Channel(ch + 1)
	if !ok || x.By == "builder" {
		return false
	}
	if p, ok := v.Sheet.Preset(c.Number); ok && p.Rule != sheet.Hold {
		return !p.Met(width, width, sheet.VisibleChange)
	}
	return !c.RestsNear(width, sheet.VisibleChange)
}

// whole draws the channels of the sheet together. moved: hands went on.
func (x *lossState) whole(d *event.LossData, moved bool, v *base.View) {
	seen := map[event.LossClass]bool{}
	for i := range v.Sheet.Channels {
		if n := v.Sheet.Channels[i].Number; !v.Sheet.Digital(n) {
			c := &d.Channels[n-1]
			if seen[c.Class] = true; c.Class != event.LossMoving {
				d.SettledNS = max(d.SettledNS, c.SettledNS)
			}
		}
	}
	if d.SettledNS > 0 {
		d.SettledUnheardNS = min(x.Unheard, d.SettledNS)
	}
	if h := v.Sheet.Heartbeat; h != nil && d.Channels[h.Channel-1].Class == event.LossMoving {
		seen[event.LossMoving] = true
	}
	seen[event.LossNone] = moved
	d.Class = x.class(seen)
	if d.Class != event.LossNone {
		x.mode(d, v)
	}
}

// class is that of all channels together.
func (x *lossState) class(seen map[event.LossClass]bool) event.LossClass {
	known := x.Flags.Believed || x.Silent != 0
	switch {
	case x.Silent != 0:
		return event.LossSilent
	case !known && (seen[event.LossMoving] || seen[event.LossNone]):
		return event.LossNone
	case seen[event.LossMoving]:
		return event.LossMoving
	case seen[event.LossUnderWay]:
		return event.LossUnderWay
	case seen[event.LossPreset] && seen[event.LossHold]:
		return event.LossMixed
	case seen[event.LossPreset]:
		return event.LossPreset
	case seen[event.LossHold]:
		return event.LossHold
	}
	return event.LossUnclear
}

// mode reports what the bus asks for once settled.
func (x *lossState) mode(d *event.LossData, v *base.View) {
	channels := v.ModeChannels
	if len(channels) == 0 || x.Silent != 0 {
		return
	}
	f := bus.Frame{Counts: x.Seen.Now}
	d.Mode, _ = v.Sheet.ModeAt(func(ch int) unit.Width { return base.Width(v.Sheet, &f, ch) })
	d.ModeNS = 0
	for _, ch := range channels {
		if !v.Sheet.Digital(ch) {
			d.ModeNS = max(d.ModeNS, d.Channels[ch-1].SettledNS)
		}
	}
}
