package claim

import (
	"fmt"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// phoneIsARadio is why nothing of the link is judged beside a phone.
const phoneIsARadio = "a phone on the model was sending, a radio of its own beside the receiver: do it again without the phone"

// phone is whether one on the model sends.
type phone struct {
	There bool      `json:"there"`
	Left  unit.Time `json:"left"` // date when the latest one was there last; 0: there was none
}

func (p *phone) hears(e *event.Event) {
	switch e.Kind {
	case event.TiltHeard:
		p.There = true
	case event.TiltSilent:
		p.There, p.Left = false, e.At
	}
}

// since reports that one was there at some time since a date.
func (p *phone) since(from unit.Time) bool { return p.There || p.Left != 0 && p.Left >= from }

// What is asked where a phone saw another tilt than was asked for: which of the two it was can't
// be told from here.
const (
	phoneSawOther = "%s was asked for, and the phone on the model saw %s: which was it? Tilt it as told; if it was, see how the phone lies " +
		"(drill laying)"
	phoneSawNone = "%s was asked for, and was not seen by the phone on the model%s: that says nothing of the stabiliser; do it again"
)

// seenByPhone reports that a phone whose laying was shown saw the tilt that was asked for.
func seenByPhone(d *event.DrillAnsweredData) bool {
	return d.Tilt != nil && d.Tilt.Laid && d.Tilt.Sight == attitude.SightAsked
}

// confirmed reports that there was the tilt that was asked for: a phone saw it, or somebody said so.
func confirmed(d *event.DrillAnsweredData) bool { return seenByPhone(d) || d.By == "builder" }

// otherwiseSeen is what has to be asked about where a phone saw no such tilt, "" where it did, or
// can't know.
func otherwiseSeen(d *event.DrillAnsweredData) string {
	if d.Tilt == nil || !d.Tilt.Laid {
		return ""
	}
	switch s := d.Tilt; s.Sight {
	case attitude.SightOpposite, attitude.SightOther:
		return fmt.Sprintf(phoneSawOther, s.Asked, event.Raised(&s.Turn))
	case attitude.SightNobody, attitude.SightLetGo, attitude.SightMoving, attitude.SightDoubtful:
		return fmt.Sprintf(phoneSawNone, s.Asked, event.TiltBecause(s))
	case attitude.SightAsked, attitude.SightUnknown:
	}
	return ""
}
