package wiretime

import "benchproof.example/monitor/unit"

const (
	// regular is how many steps between dates must be about as long as the longest: then
	// it is how the adapter hands over. One or two are holes.
	regular = 3

	// tooFar is how far apart no bus's frames are, as read, whatever the adapter.
	tooFar = 64 * unit.Millisecond
)

// holeIn finds the longest step between two dates where it is longer than the bus and
// its adapter make them: frames were left out there, or nobody read. It returns the
// index of the date behind it, 0: there is none.
//
//	dates   | | | | | |          | | | |
//	                             ^
func holeIn(dates []unit.Time) int {
	var longest [regular]unit.Duration
	behind := 0
	for i := 1; i < len(dates); i++ {
		step := dates[i].Sub(dates[i-1])
		if step > longest[0] {
			behind = i
		}
		for k := range longest {
			if step > longest[k] {
				step, longest[k] = longest[k], step
			}
		}
	}
	if longest[0]*5 < longest[regular-1]*7 || longest[0]-longest[regular-1] < backlogStep {
		return 0
	}
	return behind
}
