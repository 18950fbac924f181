// Package sheet reads set-up sheets: the YAML files in which a builder writes
// down what one model is meant to do. Read checks a sheet and turns it into
// numbers; what it refuses it explains with file, line, column, what was found
// and what would be right.
//
// Widths and times are nanoseconds, shares are int64 parts per million
// and channels are numbers, never names, so that judgement compares integers.
// Everything keeps the order of the sheet, but channels and outputs, which
// come by ascending number.
package sheet

import (
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/scale"
	"benchproof.example/monitor/unit"
)

// Format is the sheet format that this package reads, the value of "sheet:".
const Format = 1

// Sheet is one set-up sheet. Sections that the sheet leaves out are nil or
// empty; taps, scale and tolerance then have their defaults.
type Sheet struct {
	Model      string // free text
	Sticks     int    // transmitter stick mode 1..4; 0: the sheet does not say
	Taps       []Tap
	Protocol   *bus.Protocol // of the bus taps
	Scale      scale.Scale
	Tolerance  Tolerance
	Channels   []Channel // ascending Number
	Listens    bool      // it has no channels (channels: {}): a session under it shows what all of them do, and judges nothing
	Gain       *Gain
	Stabiliser *Stabiliser
	Gestures   []Gesture
	Failsafe   *Failsafe
	Mixes      []Mix    // the mixes that are wanted; any other is a fault
	Outputs    []Output // ascending Number
	Heartbeat  *Heartbeat
	MarkButton *Setting // a spare switch that sets a mark; nil: there is none
	Link       *Link
	Soak       *Soak
	Learning   *Learning  // nil: the sheet does not say how the receiver learns limits
	Levelling  *Levelling // nil: the sheet does not say how the receiver learns level
	Assumed    []string   // paths of keys whose values nobody measured or said

	widths []unit.Width // of the counts of the bus, as Scale has them: judging asks for many in each frame
}

// Width is the pulse width that a count of the bus stands for.
func (s *Sheet) Width(count uint32) unit.Width {
	if int(count) < len(s.widths) {
		return s.widths[count]
	}
	return unit.Width(s.Scale.Width(int64(count)))
}

// mostWidths bounds the table of widths. What lies beyond is divided.
const mostWidths = 1 << 12

// scaled takes a scale.
func (s *Sheet) scaled(by scale.Scale) {
	s.Scale, s.widths = by, make([]unit.Width, min(s.Protocol.Range[1]+1, mostWidths))
	for count := range s.widths {
		s.widths[count] = unit.Width(by.Width(int64(count)))
	}
}

// Channel finds a channel by its number; false where the sheet has none.
func (s *Sheet) Channel(number int) (*Channel, bool) {
	for i := range s.Channels {
		if s.Channels[i].Number == number {
			return &s.Channels[i], true
		}
	}
	return nil, false
}

// ByName finds a channel by its name; false where the sheet has none.
func (s *Sheet) ByName(name string) (*Channel, bool) {
	for i := range s.Channels {
		if s.Channels[i].Name == name {
			return &s.Channels[i], true
		}
	}
	return nil, false
}

// ModeAt names the mode whose cell holds at the widths, in ns, that width
// gives for a channel number. False: no cell covers them, which is "no mode".
// Cells do not overlap, so there is never more than one.
func (s *Sheet) ModeAt(width func(channel int) unit.Width) (string, bool) {
	if s.Stabiliser == nil {
		return "", false
	}
	for _, mode := range s.Stabiliser.Modes {
		for _, cell := range mode.When {
			if cell.Holds(width) {
				return mode.Name, true
			}
		}
	}
	return "", false
}

// ThrottleChannels are the channels that drive a motor, in the sheet's order.
func (s *Sheet) ThrottleChannels() (list []int) {
	for i := range s.Channels {
		if s.Channels[i].Kind == Throttle {
			list = append(list, s.Channels[i].Number)
		}
	}
	return list
}

// ModeChannels lists the channels that any cell names, ascending.
func (s *Sheet) ModeChannels() []int {
	if s.Stabiliser == nil {
		return nil
	}
	var numbers []int
	for _, mode := range s.Stabiliser.Modes {
		for _, cell := range mode.When {
			for _, window := range cell {
				numbers = append(numbers, window.Channel)
			}
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers)
}
