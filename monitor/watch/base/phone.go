package base

import (
	"slices"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Phone is what is known of a phone that lies on the model.
type Phone struct {
	Top      attitude.Top     `json:"top"` // where its top edge points, by the sheet
	Track    attitude.Tracker `json:"track"`
	Heard    bool             `json:"heard"`    // attitudes come
	Asleep   bool             `json:"asleep"`   // its page said that it is hidden
	Gyro     bool             `json:"gyro"`     // it has a gyroscope
	Troubles []string         `json:"troubles"` // that stand, see event.TiltTroubles
	Jitter   unit.Duration    `json:"jitter"`   // by how much more than the quickest sentences were late
	Laid     bool             `json:"laid"`     // how it lies was shown, and it has not moved on the model since
	LaidTurn int64            `json:"askew"`    // by how much askew it lies then, cdeg
}

func newPhone(s *sheet.Sheet, tap string) *Phone {
	p := &Phone{Top: attitude.TopNose, Troubles: []string{}}
	for _, t := range s.Taps {
		if t.Name == tap && t.Top != "" {
			p.Top = attitude.Top(t.Top)
		}
	}
	return p
}

// Has reports whether a trouble stands.
func (p *Phone) Has(trouble string) bool { return slices.Contains(p.Troubles, trouble) }

// Show is what those see who look from outside.
func (p *Phone) Show() *state.Phone {
	s := &state.Phone{Heard: p.Heard, Asleep: p.Asleep, Gyroscope: p.Gyro, Laid: p.Laid, JitterNS: p.Jitter, Troubles: slices.Clone(p.Troubles)}
	s.Resting = p.Track.Resting
	if off, ok := p.Track.Now(); ok {
		s.OffCdeg = off
	}
	return s
}

// notHeard is of a phone that did not say all along how it lies.
const notHeard = "not-heard"

// blind is why nothing follows from what a phone says of a tilt about an axis, "" where
// something may.
func (p *Phone) blind(axis string) string {
	switch {
	case p.Asleep:
		return "asleep"
	case !p.Heard:
		return notHeard
	case axis == sheet.Yaw && !p.Gyro:
		return event.TiltNoGyroscope
	}
	for _, why := range []string{event.TiltSlow, event.TiltScreen, event.TiltClock, event.TiltSecond} {
		if p.Has(why) {
			return why
		}
	}
	return ""
}

// Seen is what the phone saw of a tilt that a prompt asked for since a date; nil where no phone
// is a tap, or none was there.
func (v *View) Seen(ask drill.Ask, from, to unit.Time) *event.TiltSeen {
	for i := range v.Taps {
		t := &v.Taps[i]
		if t.Phone == nil || ask.Axis == "" || !t.Phone.Heard && !t.Phone.Asleep && !t.Phone.Track.Heard {
			continue
		}
		opposite := ask.Act == drill.ActOpposite
		s := &event.TiltSeen{Tap: t.Name, Asked: event.TiltAsked(ask.Axis, opposite), Laid: t.Phone.Laid, JitterNS: t.Phone.Jitter}
		if why := t.Phone.blind(ask.Axis); why != "" {
			s.Sight, s.Why = attitude.SightUnknown, why
			return s
		}
		if t.Phone.Track.Began > from {
			s.Sight, s.Why = attitude.SightUnknown, notHeard
			return s
		}
		s.Turn, s.Sight = t.Phone.Track.See(attitude.Ask{Axis: ask.Axis, Opposite: opposite}, from, to, t.Phone.Top)
		return s
	}
	return nil
}

// Lies is how a phone feels the model rest at a date, once it has for a second; nil where none lies on it, was
// shown to lie there rightly, and may be believed about pitch and roll.
func (v *View) Lies(at unit.Time) *attitude.Lying {
	for i := range v.Taps {
		p := v.Taps[i].Phone
		if p == nil || !p.Laid || p.blind(sheet.Pitch) != "" {
			continue
		}
		l := &attitude.Lying{Top: p.Top, Jitter: p.Jitter, Rests: p.Track.Rests}
		l.Rest, l.Left = p.Track.Rested(at)
		return l
	}
	return nil
}

// HasPhone reports that a phone is a tap, there or not.
func (v *View) HasPhone() bool {
	for i := range v.Taps {
		if v.Taps[i].Phone != nil {
			return true
		}
	}
	return false
}

// PhoneThere reports that a phone is heard: a radio beside the receiver.
func (v *View) PhoneThere() bool {
	for i := range v.Taps {
		if p := v.Taps[i].Phone; p != nil && p.Heard {
			return true
		}
	}
	return false
}
