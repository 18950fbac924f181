package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

// presetsSettle is how long the values must stand after the flag before they are
// told as what the receiver does without a signal. Some hold for a moment first.
const presetsSettle = 300 * fact.Millisecond

// Presets tells what every channel stands at once a flagged failsafe has gone on
// for as long as the sheet allows, beside what it stood at before the loss.
//
//	flags   . . L L F F F F F F F F F F
//	              ^ last live          ^ told: the sheet's "within" after the last
//	                                     live frame, and values still
type Presets struct {
	Tap   uint8
	Live  [servobus.Channels]uint16 // of the last live frame
	Seen  bool                      // there was one
	At    fact.Time                 // its wire time
	Now   [servobus.Channels]uint16
	Since fact.Time // wire time since which Now stands
	Told  bool      // of this loss
	Run   int       // frames in a row with the failsafe flag
	Off   int       // frames in a row without it
	Last  fact.Time // wire time of the latest frame
}

// See implements Watcher.
func (p *Presets) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, p.Tap) {
		p.Run, p.Told = 0, false
		return
	}
	if !judged(o, p.Tap) {
		return
	}
	if o.Wire-p.Last > restarted {
		p.Seen = false
	}
	p.Last = o.Wire
	if f := o.Frame; f.Counts != p.Now {
		p.Now, p.Since = f.Counts, o.Wire
	}
	if !o.Frame.Failsafe() {
		p.off(o)
		return
	}
	p.Run++
	p.Off = 0
	if p.due(o, v) {
		p.Told = true
		p.tell(o, v, emit)
	}
}

// off takes a frame without the failsafe flag. One alone settles nothing.
func (p *Presets) off(o *fact.Observation) {
	if p.Off++; p.Off < twice && p.Run > 0 {
		return
	}
	p.Run, p.Told = 0, false
	if signalOf(o.Frame) == fact.Live {
		p.Live, p.Seen, p.At = o.Frame.Counts, true, o.Wire
	}
}

func (p *Presets) due(o *fact.Observation, v *View) bool {
	return p.Seen && !p.Told && p.Run >= settleFrames && o.Wire-p.Since >= presetsSettle && o.Wire-p.At >= within(v)
}

// within is how long a loss may take by the sheet, ns.
func within(v *View) fact.Time {
	if v.Sheet.Failsafe == nil {
		return 0
	}
	return fact.Time(v.Sheet.Failsafe.Within)
}

func (p *Presets) tell(o *fact.Observation, v *View, emit fact.Emit) {
	t := &v.Taps[p.Tap]
	d := fact.SettledData{Tap: t.Name, LiveNS: p.At, StandsNS: o.Wire - p.Since}
	for i := range p.Now {
		d.Was = append(d.Was, v.Sheet.Scale.Width(int64(p.Live[i])))
		d.Now = append(d.Now, v.Sheet.Scale.Width(int64(p.Now[i])))
	}
	emit(fact.FailsafeSettled, p.Since, t.About(), d)
}

// Due implements Watcher.
func (p *Presets) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (p *Presets) Expire(fact.Time, *View, fact.Emit) {}
