package drill

import "benchproof.example/monitor/sheet"

// fitting is a sentence as it fits a model: one that speaks of a throttle, or another where the sheet has none.
func fitting(s *sheet.Sheet, withThrottle, without string) string {
	if len(s.ThrottleChannels()) == 0 {
		return without
	}
	return withThrottle
}

// cantStopOf is what nobody can do by radio once the transmitter is off.
func cantStopOf(s *sheet.Sheet) string { return fitting(s, cantStop, cantSteer) }

const cantSteer = "You know that with the transmitter off nobody moves anything by radio, and that a receiver may hold its last values."
