package reliability

import "benchproof.example/monitor/unit"

// MaxStarts is how many outages are kept one by one, for their pattern.
const MaxStarts = 256

// Outages are those of a soak so far, counted one by one and as occasions:
//
//	outages     |  | |      gap      |    gap      || |
//	occasions   [────]               ─             [──]     3 of them
//
// Its exported fields are what a checkpoint keeps. One that has a Gap and nothing else is
// ready.
type Outages struct {
	Gap         unit.Duration // quiet for longer than this ends an occasion
	N           int64         // outages
	Occasions   int64
	Began       unit.Time       // of the latest occasion
	Ended       unit.Time       // of the latest occasion: when its last outage ended
	EarlierSpan unit.Duration   // of all occasions before the latest, from begin to end, added up
	Starts      []unit.Duration // of the first MaxStarts outages: how long had been watched when it began
}

// Add takes an outage, from its begin to its end in bench time, and how long had been watched
// when it began. They come in the order of their ends. One that began before the latest
// occasion did belongs to that.
func (o *Outages) Add(began, ended unit.Time, watched unit.Duration) {
	switch {
	case o.N == 0 || began.Sub(o.Ended) > o.Gap:
		o.EarlierSpan += o.Ended.Sub(o.Began)
		o.Occasions++
		o.Began = began
	case began < o.Began:
		o.Began = began
	}
	o.Ended = ended
	o.N++
	if len(o.Starts) < MaxStarts {
		o.Starts = append(o.Starts, watched)
	}
}

// blocked is how much of the time no occasion could begin: within one and for a gap after it.
func (o *Outages) blocked() unit.Duration {
	return o.EarlierSpan + o.Ended.Sub(o.Began) + unit.Duration(o.Occasions)*o.Gap
}

// leastWatched is how long must have been watched before outages of this number are rare: no
// more than a quarter of the time is blocked.
func (o *Outages) leastWatched() unit.Duration { return 4 * o.blocked() }

// Frequent reports whether outages are too frequent for a bound on rare occasions.
func (o *Outages) Frequent(watched unit.Duration) bool { return watched < o.leastWatched() }
