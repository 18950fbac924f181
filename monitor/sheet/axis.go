package sheet

import "strings"

// The axes that a stabiliser corrects.
const (
	Roll  = "roll"
	Pitch = "pitch"
	Yaw   = "yaw"
)

// Axes lists them.
var Axes = [...]string{Roll, Pitch, Yaw}

// reference is the stick which an output must answer to in the same direction as
// to the first tilt of an axis: tail raised like stick back, left wing raised like
// stick left, nose jerked left like rudder stick right (common practice, and the
// arithmetic on it).
var reference = map[string]struct{ channel, end string }{
	Roll:  {"aileron", "left"},
	Pitch: {"elevator", "back"},
	Yaw:   {"rudder", "right"},
}

// Reference finds the stick that commands an axis and the end of it that must
// move the outputs as the first tilt does: tail raised, left wing raised, nose
// jerked left. False where the sheet has no channel of that name, or its ends are
// not named so.
func (s *Sheet) Reference(axis string) (*Channel, Place, bool) {
	want := reference[axis]
	for i := range s.Channels {
		c := &s.Channels[i]
		if c.Kind != Stick || !strings.EqualFold(c.Name, want.channel) {
			continue
		}
		end, ok := c.Place(want.end)
		return c, end, ok
	}
	return nil, Place{}, false
}

// Corrected lists the outputs that a stabiliser corrects an axis with.
func (s *Sheet) Corrected(axis string) (list []*Output) {
	for i := range s.Outputs {
		for _, a := range s.Outputs[i].Corrects {
			if a == axis {
				list = append(list, &s.Outputs[i])
			}
		}
	}
	return list
}

// Tilted is the axis about which a model is tilted to see whether its stabiliser
// answers at all: pitch, which a hand does most easily by itself, else roll, else
// yaw. "" where no output corrects anything.
func (s *Sheet) Tilted() string {
	for _, axis := range []string{Pitch, Roll, Yaw} {
		if len(s.Corrected(axis)) > 0 {
			return axis
		}
	}
	return ""
}
