package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	damageQuiet = unit.Second      // without damage: the run is over
	damageLong  = 10 * unit.Second // a run that goes on is reported in pieces of this length
)

// Damage gathers what was broken on the wire into runs: bytes that make no frame
// and frames with a character marked bad. The part of a frame that a tap begins
// in is no damage, nor is the one it ends in.
type Damage struct {
	Tap       uint8
	Open      bool
	Begun     bool // a frame was seen since the tap came up
	BadFrames int64
	Refused   bus.Refused
	First     unit.Time
	Last      unit.Time
}

// See implements Watcher.
func (d *Damage) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, d.Tap):
		d.close(v, emit)
		d.Begun = false
	case o.Tap != d.Tap:
	case o.Kind == event.BytesRefused:
		d.refused(o)
	case o.Kind == event.FrameSeen:
		if !d.Begun && d.Refused.Total() < int64(v.Protocol.FrameLen) {
			d.drop()
		}
		d.Begun = true
		if o.Frame.Bad {
			d.note(o)
			d.BadFrames++
		}
	}
}

func (d *Damage) refused(o *event.Observation) {
	r := o.Refused
	r[bus.CutOff] = 0
	if r.Total() == 0 {
		return
	}
	d.note(o)
	for i, n := range r {
		d.Refused[i] += n
	}
}

func (d *Damage) note(o *event.Observation) {
	if !d.Open {
		d.Open, d.First = true, o.At
	}
	d.Last = o.At
}

func (d *Damage) close(v *base.View, emit event.Emit) {
	if !d.Open {
		return
	}
	data := event.DamageData{BadFrames: d.BadFrames, Refused: map[string]int64{}, SpanNS: d.Last.Sub(d.First)}
	for i, n := range d.Refused {
		if n > 0 {
			data.Refused[bus.Reason(i).String()] = n
		}
	}
	first := d.First
	d.drop()
	t := &v.Taps[d.Tap]
	t.Tally.DamageRuns++
	emit(event.WireDamaged, first, t.About(), data)
}

func (d *Damage) drop() { d.Open, d.BadFrames, d.Refused = false, 0, bus.Refused{} }

// Due implements base.Timed.
func (d *Damage) Due() unit.Time {
	if !d.Open {
		return unit.Never
	}
	return min(d.Last.Add(damageQuiet), d.First.Add(damageLong))
}

// Expire implements base.Timed.
func (d *Damage) Expire(_ unit.Time, v *base.View, emit event.Emit) { d.close(v, emit) }

// Rests implements base.Sleeper: frames that are whole begin and end nothing.
func (d *Damage) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if !d.Begun {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (d *Damage) Pass(int, base.Calm, *base.View) {}
