package pulse

// Limits say what a servo pulse is, all in ns.
type Limits struct {
	Glitch  int64 // a level that lasts less is no level
	Pause   int64 // a pause that lasts less is a hole in one pulse, not the end of it
	Narrow  int64 // the narrowest pulse
	Wide    int64 // the widest pulse
	Longest int64 // the longest period: what comes later comes after a gap
}

// CommonLimits take whatever a servo may be sent: 700 to 2300 µs is normal, pulses
// near 760 µs are those of narrow-pulse servos, 50 to 333 Hz (all common practice).
// They are wider than that, because what is odd but was sent should be seen. A
// pulse and the next one merged (a falling edge missed) are wider than Wide at
// every such rate.
func CommonLimits() Limits {
	return Limits{Glitch: shortestPulse, Pause: pause, Narrow: narrowest, Wide: widest, Longest: longestPeriod}
}

const (
	shortestPulse = 1_000
	pause         = 100_000
	narrowest     = 300_000
	widest        = 3_000_000
	longestPeriod = 100_000_000
)
