package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// LevelData belongs to level.learned.
type LevelData struct {
	Sides []LevelSide `json:"sides"`
	By    string      `json:"by,omitempty"` // who followed the prompts, "" where nobody said
}

// LevelSide is one side on which the model lay.
type LevelSide struct {
	Side    string        `json:"side"` // in the sheet's words
	LastsNS unit.Duration `json:"lasts_ns"`
	Still   Stillness     `json:"still"`
	StrayNS unit.Width    `json:"stray_ns"` // moved: how far the output went that went farthest, else 0
}

// Stillness is how it is known that a model lay still.
type Stillness string

// How it is known.
const (
	StillSeen    Stillness = "seen"    // outputs that had answered hands just before stood
	StillCounted Stillness = "counted" // no output answered the hands that laid it, so that time alone was counted
	StillMoved   Stillness = "moved"   // outputs that had answered hands moved
)

// StillWords says how it is known.
var StillWords = map[Stillness]string{
	StillSeen: "seen still on its outputs", StillCounted: "counted, not seen", StillMoved: "not still",
}

func levelledSentence(_ *Event, _ string, d *LevelData) string {
	parts := make([]string, 0, len(d.Sides))
	for _, s := range d.Sides {
		parts = append(parts, fmt.Sprintf("%s for %s (%s)", s.Side, unit.FormatDuration(s.LastsNS), StillWords[s.Still]))
	}
	return "levelling done: " + strings.Join(parts, ", ")
}
