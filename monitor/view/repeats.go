package view

import (
	"regexp"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Repeats are shown together after foldFirst, and where they go on, each time after twice
// as long, up to foldMost.
const (
	foldFirst = 5 * unit.Second
	foldMost  = 40 * unit.Second
)

// repeats holds back what says the same again within a short time. The timeline has
// every one of them.
type repeats struct {
	list []repeat // in the order in which the first of each was shown
}

// repeat is one sentence that was shown, and how often it came since.
type repeat struct {
	key   string
	event event.Event // the latest that was held back
	times int         // held back, not shown yet
	since unit.Time   // of the first of these, or of the line that was shown before them
	until unit.Time   // when they are shown
	waits unit.Duration
}

// figures are numbers with a unit; sentences that differ in nothing else are repeats.
var figures = regexp.MustCompile(`[0-9][0-9:.]* (µs|ms|s|frames?|bytes?|pulses?|lines? (is|are))\b`)

// hold takes an event and reports whether it is held back.
func (r *repeats) hold(e *event.Event) bool {
	if !folds(e) {
		return false
	}
	key := e.Kind + "\n" + e.About + "\n" + figures.ReplaceAllString(sentence(e), "#")
	i := slices.IndexFunc(r.list, func(p repeat) bool { return p.key == key })
	if i < 0 {
		r.list = append(r.list, repeat{key: key, until: e.At.Add(foldFirst), waits: foldFirst})
		return false
	}
	p := &r.list[i]
	if p.times++; p.times == 1 {
		p.since = e.At
	}
	p.event = *e
	return true
}

// due are those whose time to be told has come.
func (r *repeats) due(now unit.Time) (shown []repeat) {
	kept := r.list[:0]
	for _, p := range r.list {
		if p.until > now {
			kept = append(kept, p)
			continue
		}
		if p.times > 0 {
			shown = append(shown, p)
			p.times, p.waits = 0, min(2*p.waits, foldMost)
			p.until = now.Add(p.waits)
			kept = append(kept, p)
		}
	}
	r.list = kept
	return shown
}

// rest are all that are held back; nothing is afterwards.
func (r *repeats) rest() (shown []repeat) {
	for _, p := range r.list {
		if p.times > 0 {
			shown = append(shown, p)
		}
	}
	r.list = nil
	return shown
}

// folds reports whether an event may be told together with others like it. What was
// judged, measured, asked or said by a person stands on a line of its own.
func folds(e *event.Event) bool {
	switch e.Data.(type) {
	case event.FramesMissingData, event.DamageData, event.LateData, event.CountData, event.SilentData, event.LockedData,
		event.BoardLostData, event.BoardHeardData, event.OutputBackData, event.OutputOddData, event.OutputClipData,
		event.ValueSpikedData, event.TravelClippedData, event.SwitchData, event.ModeData, event.JumpData, event.PeriodData,
		event.PortData, event.GainSweptData, event.GestureData:
		return true
	}
	return e.Kind == event.TapDown
}
