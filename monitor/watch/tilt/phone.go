// Package tilt holds the watchers of a phone that lies on the model: whether it is heard and may
// be believed, how the model is turned and held, and whether the phone lies as the sheet says.
package tilt

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// silent is how long no attitude comes until that is said: pages send four times a second.
	silent = 2 * unit.Second
	// counted is how long attitudes are counted, and slowest how many of them are enough: ten a
	// second show a tilt of a second from its beginning to its end.
	counted = 2 * unit.Second
	slowest = 20
	// A clock that is off by more than offMost, parts per million, over clockFor is none: a
	// quartz is off by a hundred at most (common practice).
	clockFor = 10 * unit.Second
	offMost  = 20_000
	// lags are how many reads the jitter is taken over.
	lags = 32
)

// Phone says when attitudes come and when they stop, and why they can't be believed. It runs
// on dates.
//
//	attitudes  ||||||||||||||||         | | | |        |||||||||
//	           ^ heard         ^ silent ^ heard, slow  ^ slow, over
type Phone struct {
	Tap    uint8
	Before bool      // attitudes came in this session
	Waits  bool      // and that they don't was not said
	Last   unit.Time // date of the latest
	Epoch  int       // of its clock

	From  unit.Time // counting began
	Count int64     // attitudes since

	ClockDate unit.Time     // where the clock was looked at last
	ClockTime unit.Duration // what it said
	LastTime  unit.Duration // what it says

	Second unit.Time       // date of the latest sentence of another phone
	Lag    unit.Duration   // the smallest of this read
	Lags   []unit.Duration // of the reads before
}

// See implements base.Watcher.
func (w *Phone) See(o *event.Observation, v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	switch {
	case o.Kind == event.InputEnd: // how it lies then is what the sitting ends with
	case base.TapClosed(o, w.Tap):
		w.gone(v, emit)
	case o.Tap != w.Tap:
	case o.Kind == event.LinesLost:
		if o.Lost.Refused["second-phone"] > 0 {
			w.Second = o.At
			w.set(event.TiltSecond, true, 0, o.At, v, emit)
		}
	case o.Kind == event.PhoneSpoke:
		p.Asleep = o.Phone.Hidden
		w.set(event.TiltScreen, o.Phone.Screen != 0, int64(o.Phone.Screen), o.At, v, emit)
	case o.Kind == event.AttitudeSeen:
		w.attitude(o, v, emit)
	}
}

// gone is a tap that is shut: nothing that was known holds.
func (w *Phone) gone(v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	if p.Heard {
		emit(event.TiltSilent, w.Last, v.Taps[w.Tap].About(), event.TiltSilentData{Asleep: p.Asleep})
	}
	w.Waits, p.Heard, p.Asleep, p.Laid = false, false, false, false
	p.Troubles = []string{}
	p.Track.Forget()
	w.Lags, w.From, w.ClockDate = nil, 0, 0
}

func (w *Phone) attitude(o *event.Observation, v *base.View, emit event.Emit) {
	p, a := v.Taps[w.Tap].Phone, o.Lies
	if w.Before && a.Epoch != w.Epoch { // another phone, or its page anew: nobody knows how it lies
		p.Laid = false
		p.Track.Forget()
		w.ClockDate, w.Lags = 0, nil
	}
	w.Epoch, w.LastTime = a.Epoch, unit.Duration(a.Time)
	p.Gyro = a.Gyro
	if !p.Heard {
		d := event.TiltHeardData{Gyroscope: a.Gyro}
		if w.Before {
			d.SilentNS = o.At.Sub(w.Last)
		}
		p.Heard, p.Asleep, w.Before = true, false, true
		w.From, w.Count, w.ClockDate = o.At, 0, 0
		emit(event.TiltHeard, o.At, v.Taps[w.Tap].About(), d)
	}
	w.jitter(o, p)
	w.Last, w.Waits = o.At, true
	w.Count++
	w.set(event.TiltNoGyroscope, !a.Gyro, 0, o.At, v, emit)
	if w.Second != 0 && o.At.Sub(w.Second) > silent {
		w.Second = 0
		w.set(event.TiltSecond, false, 0, o.At, v, emit)
	}
	if o.At.Sub(w.From) >= counted {
		w.set(event.TiltSlow, w.Count < slowest, w.Count, o.At, v, emit)
		w.From, w.Count = o.At, 0
	}
	w.clock(o, v, emit)
}

// jitter is how much later than the quickest reads others came.
func (w *Phone) jitter(o *event.Observation, p *base.Phone) {
	lag := o.At.Sub(o.Wire)
	if o.At == w.Last {
		w.Lag = min(w.Lag, lag)
		return
	}
	if len(w.Lags) == lags {
		w.Lags = w.Lags[:copy(w.Lags, w.Lags[1:])]
	}
	w.Lags = append(w.Lags, w.Lag)
	w.Lag = lag
	p.Jitter = slices.Max(w.Lags)
}

// clock holds the phone's clock against the dates.
func (w *Phone) clock(o *event.Observation, v *base.View, emit event.Emit) {
	if w.ClockDate == 0 {
		w.ClockDate, w.ClockTime = o.At, w.LastTime
		return
	}
	passed := o.At.Sub(w.ClockDate)
	if passed < clockFor {
		return
	}
	off := int64(w.LastTime-w.ClockTime-passed) / int64(passed/1_000_000)
	w.set(event.TiltClock, unit.Abs(off) > offMost, off, o.At, v, emit)
	w.ClockDate, w.ClockTime = o.At, w.LastTime
}

// set begins a trouble, or ends it.
func (w *Phone) set(why string, is bool, figure int64, at unit.Time, v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	i := slices.Index(p.Troubles, why)
	switch {
	case is && i < 0:
		p.Troubles = append(p.Troubles, why)
	case !is && i >= 0:
		p.Troubles = slices.Delete(p.Troubles, i, i+1)
	default:
		return
	}
	emit(event.TiltTrouble, at, v.Taps[w.Tap].About(), event.TiltTroubleData{Why: why, Over: !is, Figure: figure})
}

// Due implements base.Timed.
func (w *Phone) Due() unit.Time {
	if !w.Waits {
		return unit.Never
	}
	return w.Last.Add(silent)
}

// Expire implements base.Timed.
func (w *Phone) Expire(_ unit.Time, v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	w.Waits, p.Heard, p.Laid = false, false, false
	p.Track.Forget()
	emit(event.TiltSilent, w.Last, v.Taps[w.Tap].About(), event.TiltSilentData{LimitNS: silent, Asleep: p.Asleep})
}
