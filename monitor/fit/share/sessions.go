package share

import (
	"math"

	"benchproof.example/monitor/fit/student"
)

// MinSessions is how many earlier sessions it takes to say that one is worse: sessions differ
// by themselves, and by how much is seen in no fewer.
const MinSessions = 3

// Against compares the share that a session missed, at a mark of a range walk, with those of
// earlier ones at the same mark: in thousandths, rounded up, the probability that one more of
// their kind misses as large a share. False: fewer than MinSessions of them, or all alike.
func Against(now Slot, earlier []Slot) (thousandths int64, ok bool) {
	k := float64(len(earlier))
	if len(earlier) < MinSessions {
		return 0, false
	}
	var mean, squares float64
	for _, s := range earlier {
		mean += logShare(s) / k
	}
	for _, s := range earlier {
		d := logShare(s) - mean
		squares += float64(d * d)
	}
	deviation := math.Sqrt(squares / (k - 1))
	if deviation == 0 {
		return 0, false
	}
	z := (logShare(now) - mean) / (deviation * math.Sqrt(1+1/k))
	return int64(math.Ceil(student.UpperTail(z, k-1) * 1000)), true
}

// logShare is the logarithm of a share, with half a frame more missed so that none has one.
func logShare(s Slot) float64 { return math.Log((float64(s.Missed) + 0.5) / (float64(s.Frames) + 1)) }
