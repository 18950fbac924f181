package drill

import (
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// How long the prompts of a tilt stand. They come by themselves: who holds a model
// in both hands presses no key.
const (
	graspTime = 6 * unit.Second          // to put the transmitter down and take the model, and three counts
	countTime = 3 * unit.Second          // three counts
	holdTime  = 4500 * unit.Millisecond  // a second to get there, three held, and a little
	watchTime = holdTime + unit.Second/2 // where all of three seconds must be seen
	lieTime   = 3500 * unit.Millisecond  // to put it back and let it rest
)

// tilts are how hands tilt a model about an axis: first the way that an output must
// answer like the reference stick, then the other (common practice).
var tilts = map[string]struct{ there, other string }{
	sheet.Pitch: {"briskly raise the tail by about 30 degrees", "briskly raise the nose by about 30 degrees"},
	sheet.Roll:  {"briskly raise the left wing by about 30 degrees", "briskly raise the right wing by about 30 degrees"},
	sheet.Yaw:   {"jerk the nose to the left by about 30 degrees, once,", "jerk the nose to the right by about 30 degrees, once,"},
}

// timed is a prompt that runs its time.
func timed(id, text string, asks Ask, after unit.Duration) Prompt {
	return Prompt{ID: id, Text: text, Asks: asks, Until: Condition{After: after, Hold: true}}
}

// takeUp counts in a tilt for which the transmitter has to be put down first.
func takeUp(id, what string, asks Ask) Prompt {
	return timed(id, "put the transmitter down and take the model in both hands, level and still; on the third count "+what+" and hold it there", asks, graspTime)
}

const (
	nowText   = "now: %s and hold it there (an Enter says that it was tilted)"
	levelText = "put the model back level and still"
)
