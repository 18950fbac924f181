package ranksum

import "benchproof.example/monitor/unit"

// power is how long to stay at a mark, with a frame each 7 ms, where so large a share is missed
// in bursts of up to so many frames: found by simulation.
var power = []struct{ sharePPM, burst, seconds int64 }{
	{10_000, 5, 80},
	{10_000, 20, 270},
	{50_000, 5, 21},
	{50_000, 20, 60},
}

// SecondsNeeded is how long both sessions must stay at a mark for More to see, in four of five
// cases, that twice as much is missed; of the rows that were simulated the nearest that is
// no better than what is asked about. burst is how many frames are missed in a row, on average.
// False: the share is smaller or bursts are longer than in any.
func SecondsNeeded(sharePPM int64, period unit.Duration, burst int64) (seconds int64, ok bool) {
	const simulated = 7 * unit.Millisecond
	for _, row := range power {
		if sharePPM >= row.sharePPM && burst <= row.burst && (!ok || row.seconds < seconds) {
			seconds, ok = row.seconds, true
		}
	}
	return int64((unit.Duration(seconds)*max(period, simulated) + simulated - 1) / simulated), ok
}
