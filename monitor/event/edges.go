package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// EdgeMeasured is the kind of event of an edge between two modes.
const EdgeMeasured = "edge.measured"

var edgeKinds = []Row{
	row(EdgeMeasured, "channel:N", "Between which widths of a channel the receiver goes from one mode to the next, as the surfaces showed it to "+
		"somebody who stepped a knob there; from below and from above. No wire shows what a receiver does.", edgeSentence),
}

// EdgeMeasuredData belongs to edge.measured.
type EdgeMeasuredData struct {
	Channel int      `json:"channel"`        // from 1
	Edge    string   `json:"edge"`           // its name in the sheet's order: "plain/damping"
	Below   string   `json:"below"`          // the mode of the lower widths
	Above   string   `json:"above"`          // that of the higher ones
	Up      EdgeWay  `json:"up"`             // stepped from below
	Down    *EdgeWay `json:"down,omitempty"` // from above; left out where the way from below found nothing
	// FromNS and ToNS span what both ways found, 0 where one found nothing.
	FromNS unit.Width `json:"from_ns"`
	ToNS   unit.Width `json:"to_ns"`
	Agrees bool       `json:"agrees"`          // both found an interval of 10 µs at most, and the two span 20 µs at most
	Lines  []string   `json:"lines,omitempty"` // where they agree: the lines of the modes that meet there in the sheet, with the edges that were measured so far
}

// EdgeWay is an edge as it was found from one side.
type EdgeWay struct {
	FromNS  unit.Width `json:"from_ns"` // it lies between
	ToNS    unit.Width `json:"to_ns"`
	Looks   int64      `json:"looks"`         // answers
	Unsure  int64      `json:"unsure"`        // of these: what the surfaces did could not be told
	Shown   int64      `json:"shown"`         // of these: the servo leads showed the same
	Against int64      `json:"against"`       // of these: they showed something else, and who looked stood by it
	Why     string     `json:"why,omitempty"` // why it was not found, a clause
}

func edgeSentence(_ *Event, _ string, d *EdgeMeasuredData) string {
	return fmt.Sprintf("channel %d, from %s to %s: %s", d.Channel, text.ModeName(d.Below), text.ModeName(d.Above), EdgeFound(d))
}

// EdgeFound says where an edge was found, or why it was not.
func EdgeFound(d *EdgeMeasuredData) string {
	found := []string{}
	for _, w := range []struct {
		side string
		way  *EdgeWay
	}{{"below", &d.Up}, {"above", d.Down}} {
		switch {
		case w.way == nil:
		case w.way.Why != "":
			found = append(found, fmt.Sprintf("from %s it was not found: %s", w.side, w.way.Why))
		default:
			found = append(found, fmt.Sprintf("from %s between %s and %s", w.side, unit.FormatWidth(w.way.FromNS), unit.FormatWidth(w.way.ToNS)))
		}
	}
	return strings.Join(found, ", ")
}
