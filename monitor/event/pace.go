package event

import "benchproof.example/monitor/unit"

// A line is silent after about five periods, 100 ms at least (common practice);
// what the tap's own clumping may hide is added.
const (
	silencePeriods = 5
	silenceLeast   = 100 * unit.Millisecond
	silenceUnknown = 300 * unit.Millisecond // while the period is not known
)

// Pace is what is known of a bus's rhythm when a frame arrives.
type Pace struct {
	Known   bool          // false: the period is still being learned and Wire is the date
	Period  unit.Duration // from frame to frame, ns
	Clump   unit.Duration // how late a byte may be dated: the spread of lags seen lately
	Missing int           // frames that the wire left out before this one; negative takes back

	Run int // frames, with this one, that came faster behind each other than frames can

	// Late: the frame came with others faster than frames can, because nobody had
	// read for a while. It has no date of its own, and Wire is the date of the read.
	Late bool
	// Lacking: of a frame that was read late, how much of the time in which nothing was read the
	// frames so far do not fill at the bus's pace, 0 where that is not known. Then the bus was silent.
	Lacking unit.Duration
	// Patience is how long no frame may come behind one that was late until that is silence,
	// 0 behind others: a port that hands over in batches may go on so.
	Patience unit.Duration
	// Unsure: it came with others as fast, so far too few to distinguish that from an
	// adapter's clumping. The frames behind it decide.
	Unsure bool
}

// Limit is how long no frame may come until the line counts as silent.
func (p *Pace) Limit() unit.Duration {
	return max(p.OnTimeLimit(), p.Patience)
}

// OnTimeLimit is that of a port that hands over on time. Frames that came, and were not read
// late, show by it that the line was silent before them.
func (p *Pace) OnTimeLimit() unit.Duration {
	if !p.Known {
		return silenceUnknown
	}
	return max(silencePeriods*p.Period, silenceLeast) + 2*p.Clump
}
