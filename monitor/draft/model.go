package draft

import (
	"slices"

	"benchproof.example/monitor/unit"
)

// Source is where a line of the sheet comes from.
type Source string

// The sources.
const (
	Measured Source = "measured"
	Said     Source = "said"
	Assumed  Source = "assumed"
)

// Answer is what the builder typed.
type Answer struct {
	Words string `json:"words"`
	Wants Wants  `json:"wants,omitempty"`
	From  Source `json:"from"` // Said, or Assumed where an Enter alone took what was proposed
}

// Control is what was found of a stick, knob or switch.
type Control struct {
	Key     string       `json:"key"` // of the questions about it: "elevator", "mode-1", "gain"
	Name    string       `json:"name"`
	Kind    string       `json:"kind"`            // as the sheet has kinds
	Channel int          `json:"channel"`         // from 1
	Places  []Place      `json:"places"`          // ends, positions, or those that the kind has
	Rests   []unit.Width `json:"rests,omitempty"` // where a stick stood when it was let go, each time
	From    Source       `json:"from"`            // of kind and places
}

// neutral is where a stick rests.
func (c *Control) neutral() Place {
	widths := slices.Clone(c.Rests)
	slices.Sort(widths)
	return placeOf(widths)
}

// place finds a place by its name, or nil.
func (c *Control) place(name string) *Place {
	for i := range c.Places {
		if c.Places[i].Name == name {
			return &c.Places[i]
		}
	}
	return nil
}

// at finds the place that is near a width, or nil.
func (c *Control) at(width unit.Width) *Place {
	for i := range c.Places {
		if unit.Abs(c.Places[i].Width-width) <= placesApart {
			return &c.Places[i]
		}
	}
	return nil
}

// Along is a channel that went along with another one: a mix in the transmitter.
type Along struct {
	Key     string     `json:"key"` // of the control that was moved
	Channel int        `json:"channel"`
	Travel  unit.Width `json:"travel"` // the farthest, of both ends
}

// Mode is a mode with the places at which it is wanted.
type Mode struct {
	Name string            `json:"name"`
	At   map[string]string `json:"at"` // of each mode switch, by its key, the name of its place
}

// Model is what is known so far.
type Model struct {
	Done    map[string]bool    `json:"done"`    // questions by ID, also those that were skipped
	Answers map[string]Answer  `json:"answers"` // by ID
	Found   map[string]Control `json:"found"`   // by key
	Rest    []unit.Width       `json:"rest"`    // of all channels, with hands off
	Beats   []int              `json:"beats"`   // channels that move by themselves
	Mixes   []Along            `json:"mixes"`
	Modes   []Mode             `json:"modes"`
	Others  int                `json:"others"` // further controls that were named
	Pair    Pair               `json:"pair"`
	Free    bool               `json:"free,omitempty"` // nothing was asked: see FreePlay
}

// Pair are two channels that moved together when one switch was asked for, by its key; "": there are none.
type Pair struct {
	Key      string `json:"key"`
	Channels [2]int `json:"channels"`
}

func newModel() Model {
	return Model{Done: map[string]bool{}, Answers: map[string]Answer{}, Found: map[string]Control{}}
}

func (m *Model) said(id string) string { return m.Answers[id].Words }

// taken finds whose a channel is, "" for nobody's.
func (m *Model) taken(channel int) string {
	for key, c := range m.Found {
		if c.Channel == channel {
			return key
		}
	}
	return ""
}

// has reports that a control was found.
func (m *Model) has(key string) bool {
	_, ok := m.Found[key]
	return ok
}

// modeKeys are the keys of the switches that choose the mode, in the order in which they were asked for.
func (m *Model) modeKeys() (keys []string) {
	for _, key := range []string{"mode-1", "mode-1b", "mode-2", "mode-2b"} {
		if m.has(key) {
			keys = append(keys, key)
		}
	}
	return keys
}

// combinations is how many the places of the mode switches make; of one lever on two channels, as many as it has places.
func (m *Model) combinations() int {
	n := 1
	for _, key := range []string{"mode-1", "mode-2"} {
		if m.has(key) {
			n *= max(len(m.Found[key].Places), len(m.Found[key+"b"].Places))
		}
	}
	return n
}
