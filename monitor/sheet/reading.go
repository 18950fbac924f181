package sheet

import (
	"strconv"
	"strings"
)

// Reading is what of the present a line of a sheet is about.
type Reading struct {
	Kind   ReadingKind `json:"kind"`
	Name   string      `json:"name"`   // of the channel, mode, output's surface or tap; "" for all
	Number int         `json:"number"` // of the channel or output, else 0
	Place  string      `json:"place"`  // of the channel, that the line is about; "" for none
}

// ReadingKind says what a line is about.
type ReadingKind string

// The kinds of readings.
const (
	ReadsNothing ReadingKind = "none"
	ReadsChannel ReadingKind = "channel" // where it stands
	ReadsGain    ReadingKind = "gain"    // likewise of the channel that sets it
	ReadsMode    ReadingKind = "mode"    // whether it is asked for, or which is
	ReadsLink    ReadingKind = "link"    // how a tap does
	ReadsOutput  ReadingKind = "output"  // the width of its pulses
)

// readings say for the rows whose lines are about something of the present what it is. steps
// are those of the key's path.
var readings = map[string]func(s *Sheet, steps []string) Reading{
	"taps.*":                 func(_ *Sheet, steps []string) Reading { return Reading{Kind: ReadsLink, Name: steps[1]} },
	"channels.*.name":        channelRead,
	"channels.*.ends":        channelRead,
	"channels.*.ends.*":      placeRead,
	"channels.*.neutral":     placeRead,
	"channels.*.cut":         placeRead,
	"channels.*.idle":        placeRead,
	"channels.*.full":        placeRead,
	"channels.*.value":       placeRead,
	"channels.*.positions":   channelRead,
	"channels.*.positions.*": placeRead,
	"channels.*.rest":        placeRead,
	"channels.*.pressed":     placeRead,
	"gain.channel":           gainRead,
	"gain.zero":              gainRead,
	"gain.full":              gainRead,
	"stabiliser.modes":       func(*Sheet, []string) Reading { return Reading{Kind: ReadsMode} },
	"stabiliser.modes.*":     func(_ *Sheet, steps []string) Reading { return Reading{Kind: ReadsMode, Name: steps[2]} },
	"stabiliser.righting":    rightingRead,
	"gestures.*":             gestureRead,
	"failsafe.flag":          linkRead,
	"failsafe.heard.*":       presetRead,
	"failsafe.leads.*":       leadRead,
	"outputs.*.surface":      outputRead,
	"outputs.*.moved_by":     outputRead,
	"outputs.*.travel":       outputRead,
	"heartbeat.channel":      heartbeatRead,
	"mark_button":            func(s *Sheet, _ []string) Reading { return s.settingRead(s.MarkButton) },
	"link.missed_at_most":    linkRead,
}

// reads is what the keys of a line are about: the first that is about something says it, and
// none that has a line of its own below it.
func (s *Sheet) reads(keys []string) Reading {
	for _, path := range keys {
		steps := strings.Split(path, ".")
		row := &Key{}
		for _, step := range steps {
			if !strings.HasPrefix(step, "[") && row != nil {
				row = row.child(step)
			}
		}
		if row == nil {
			continue
		}
		if read := readings[row.Path]; read != nil {
			return read(s, steps)
		}
	}
	return Reading{Kind: ReadsNothing}
}

// heartbeatRead is the channel that moves by itself, which most sheets name nowhere else.
func heartbeatRead(s *Sheet, _ []string) Reading {
	r := s.channelRead(s.Heartbeat.Channel)
	if r.Name == "" {
		r.Name = "heartbeat"
	}
	return r
}

func (s *Sheet) channelRead(number int) Reading {
	r := Reading{Kind: ReadsChannel, Number: number}
	if c, ok := s.Channel(number); ok {
		r.Name = c.Name
	}
	return r
}

func (s *Sheet) settingRead(at *Setting) Reading {
	r := s.channelRead(at.Channel)
	r.Place = at.Position
	return r
}

func rightingRead(s *Sheet, _ []string) Reading { return s.settingRead(&s.Stabiliser.Righting.Setting) }

func numbered(step string) int {
	n, _ := strconv.Atoi(step) // a sheet that was read has numbers there
	return n
}

func channelRead(s *Sheet, steps []string) Reading { return s.channelRead(numbered(steps[1])) }

func placeRead(s *Sheet, steps []string) Reading {
	r := channelRead(s, steps)
	r.Place = steps[len(steps)-1]
	return r
}

func gainRead(s *Sheet, _ []string) Reading {
	if s.Gain.Channel == 0 {
		return Reading{Kind: ReadsNothing}
	}
	r := s.channelRead(s.Gain.Channel)
	r.Kind = ReadsGain
	return r
}

func gestureRead(s *Sheet, steps []string) Reading {
	for i := range s.Gestures {
		if s.Gestures[i].Name == steps[1] {
			return s.channelRead(s.Gestures[i].Channel)
		}
	}
	return Reading{Kind: ReadsNothing}
}

func linkRead(*Sheet, []string) Reading { return Reading{Kind: ReadsLink} }

func presetRead(s *Sheet, steps []string) Reading {
	if c, ok := s.ByName(steps[2]); ok {
		return s.channelRead(c.Number)
	}
	return Reading{Kind: ReadsNothing} // the default of all that are not named
}

func outputRead(s *Sheet, steps []string) Reading {
	r := Reading{Kind: ReadsOutput, Number: numbered(steps[1])}
	if o, ok := s.Output(r.Number); ok {
		r.Name = o.Surface
	}
	return r
}

// leadRead is the output of a preset where the key means one.
func leadRead(s *Sheet, steps []string) Reading {
	var meant []int
	for i := range s.Outputs {
		if o := &s.Outputs[i]; s.isCalled(o, steps[2]) {
			meant = append(meant, o.Number)
		}
	}
	if len(meant) != 1 {
		return Reading{Kind: ReadsNothing}
	}
	return outputRead(s, []string{"", strconv.Itoa(meant[0])})
}
