package claim

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder is to set for an output.
const (
	lookAtMixDirection   = "look at the mix of that output in the receiver: turning the output round would turn %s too"
	reverseOutputOrMix   = "reverse that output in the receiver, or its mix: which, %s will tell once it is moved"
	reverseOutputOrSheet = "reverse that output in the receiver, or the sheet's sign is wrong; then look at the surface"
	lookAtMix            = "look at the mix of that output in the receiver (one in the transmitter would move another " +
		"channel on the bus, too), or write it into moved_by in the sheet"
	exchangedOrElse = "%s should move so: are the two exchanged? Else %s"
	exchangeOutputs = "it moves as %s should: exchange the two in the receiver, or their leads on the board"
)

// turned says what is to be set for an output that a stick moves the other way. To
// reverse it turns every stick's part: right where all are the other way.
//
//	the sheet   aileron 0.5, elevator -0.5
//	reversed    aileron -0.5, elevator 0.5
//	exchanged   aileron 0.5, elevator 0.5    as the other elevon should move
func (m *moves) turned(d *event.OutputFollowsData, b *Book) string {
	var right, unknown []string
	for _, w := range m.output.MovedBy {
		t, ok := term(d, w.Channel)
		switch {
		case !ok || unit.Abs(t.PPM) <= t.HalfIntervalPPM:
			unknown = append(unknown, name(b, w.Channel))
		case w.Find || (t.PPM < 0) == (w.Weight < 0):
			right = append(right, name(b, w.Channel))
		}
	}
	if twin := m.twin(d, b); twin != nil && len(right) > 0 {
		return exchanged(twin)
	}
	switch {
	case len(right) > 0:
		return fmt.Sprintf(lookAtMixDirection, strings.Join(right, " and "))
	case len(unknown) > 0:
		return fmt.Sprintf(reverseOutputOrMix, strings.Join(unknown, " and "))
	}
	return reverseOutputOrSheet
}

// instead says what is to be set for an output that a stick moves which should not. One
// that moves another output by just that much may have its place.
func (m *moves) instead(t event.MixTerm, d *event.OutputFollowsData, b *Book) string {
	if twin := m.twin(d, b); twin != nil {
		return exchanged(twin)
	}
	for i := range b.sheet.Outputs {
		for _, w := range b.sheet.Outputs[i].MovedBy {
			if o := &b.sheet.Outputs[i]; o.Number != m.output.Number && w.Channel == t.Channel && !w.Find && unit.Abs(t.PPM-w.Weight) <= t.HalfIntervalPPM+slopeLeast {
				return fmt.Sprintf(exchangedOrElse, output(o), lookAtMix)
			}
		}
	}
	return lookAtMix
}

func exchanged(twin *sheet.Output) string {
	return fmt.Sprintf(exchangeOutputs, output(twin))
}

// twin is another output that should move as this one does, nil: there is none.
func (m *moves) twin(d *event.OutputFollowsData, b *Book) *sheet.Output {
	for i := range b.sheet.Outputs {
		if o := &b.sheet.Outputs[i]; o.Number != m.output.Number && movesAs(o, d) {
			return o
		}
	}
	return nil
}

// movesAs reports whether an output should be moved by just what was found.
func movesAs(o *sheet.Output, d *event.OutputFollowsData) bool {
	found := 0
	for _, w := range o.MovedBy {
		t, ok := term(d, w.Channel)
		if !ok || w.Find || unit.Abs(t.PPM-w.Weight)+t.HalfIntervalPPM > max(unit.Abs(w.Weight)/slopeShare, slopeLeast) {
			return false
		}
		found++
	}
	for _, t := range d.Terms {
		if unit.Abs(t.PPM)-t.HalfIntervalPPM > slopeLeast {
			found--
		}
	}
	return found == 0
}
