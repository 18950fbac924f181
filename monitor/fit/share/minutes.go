package share

import "math"

// AtMost is what the share of missed frames does not exceed on average, in parts per million
// rounded up, 95 % sure, where in so many of the minutes that were watched a frame was missed:
// the exact bound of how many such minutes there are, as if in each of them all frames were
// missed. It is far too high, and needs no burst at all; that minutes with a burst come in
// bunches does it no harm as long as bursts leave most of a minute alone.
func AtMost(minutes, missed int64) (ppm int64) {
	if minutes <= 0 || missed >= minutes {
		return 1_000_000
	}
	return int64(math.Ceil(1e6 * upper(float64(missed), float64(minutes), 1-2*tail)))
}
