package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// ChannelsHeardData belongs to channels.heard: which channels come in, under a sheet without
// channels, and what each is at.
type ChannelsHeardData struct {
	Tap      string       `json:"tap"`
	WidthsNS []unit.Width `json:"widths_ns"` // from channel 1 on
	Digital  []bool       `json:"digital"`   // on; of the digital channels, whose numbers follow
}

// ChannelMovedData belongs to channel.moved: a channel moved, under a sheet without channels.
type ChannelMovedData struct {
	Tap     string     `json:"tap"`
	Channel int        `json:"channel"`
	FromNS  unit.Width `json:"from_ns"` // width where it rested before; 0 for a digital one, as the next three
	ToNS    unit.Width `json:"to_ns"`   // where it is now
	LeastNS unit.Width `json:"least_ns"`
	MostNS  unit.Width `json:"most_ns"`
	Going   bool       `json:"going,omitempty"` // it did not come to rest
	Digital bool       `json:"digital,omitempty"`
	On      bool       `json:"on,omitempty"` // of a digital one: it went on
	Suspect bool       `json:"suspect,omitempty"`
}

// What the screen says of channels where the sheet has none.
const (
	channelsCome  = "%s: %d channels come in, µs: %s"
	channelGoes   = "channel %d moves: %s µs so far, and it goes on"
	channelWent   = "channel %d moved from %d to %d µs"
	channelRanged = "channel %d moved: %s µs, now at %d µs"
	channelOnOff  = "channel %d (digital) went %s"
	notAHand      = "; many leapt at once, so perhaps no hand did it"
)

// microseconds rounds a width.
func microseconds(w unit.Width) int64 { return (int64(w) + 500) / 1000 }

// WidthRange is a range of widths in whole microseconds, "1102 … 1893"; one width where
// both are the same.
func WidthRange(least, most unit.Width) string {
	a, b := microseconds(least), microseconds(most)
	if a == b {
		return fmt.Sprint(a)
	}
	return fmt.Sprintf("%d … %d", a, b)
}

// OnOff is the word for the state of a digital channel.
func OnOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

func heardSentence(_ *Event, _ string, d *ChannelsHeardData) string {
	var list []string
	for i, w := range d.WidthsNS {
		list = append(list, fmt.Sprintf("%d: %d", i+1, microseconds(w)))
	}
	for i, on := range d.Digital {
		list = append(list, fmt.Sprintf("%d (digital): %s", len(d.WidthsNS)+i+1, OnOff(on)))
	}
	return fmt.Sprintf(channelsCome, d.Tap, len(list), strings.Join(list, ", "))
}

func movedSentence(_ *Event, _ string, d *ChannelMovedData) (s string) {
	switch {
	case d.Digital:
		s = fmt.Sprintf(channelOnOff, d.Channel, OnOff(d.On))
	case d.Going:
		s = fmt.Sprintf(channelGoes, d.Channel, WidthRange(d.LeastNS, d.MostNS))
	case d.LeastNS == min(d.FromNS, d.ToNS) && d.MostNS == max(d.FromNS, d.ToNS):
		s = fmt.Sprintf(channelWent, d.Channel, microseconds(d.FromNS), microseconds(d.ToNS))
	default:
		s = fmt.Sprintf(channelRanged, d.Channel, WidthRange(d.LeastNS, d.MostNS), microseconds(d.ToNS))
	}
	if d.Suspect {
		s += notAHand
	}
	return s
}
