package wiretime

import "benchproof.example/monitor/unit"

const (
	// backlogStep is how far apart the dates of two frames of a run may lie: a computer that
	// reads what lies waiting takes microseconds for each.
	backlogStep = 2 * unit.Millisecond

	// assumedClump is how late an adapter may be taken to hand over while its clumping is
	// not known: 16 ms is what common ones do (from memory).
	assumedClump = 16 * unit.Millisecond
	// busySpare is what a busy computer may add to the clumping right after a silence of
	// the line, and spell what it may add at any time. It is then late, but not so
	// late that anybody took the line for silent.
	busySpare = 30 * unit.Millisecond
	busySpell = 100 * unit.Millisecond

	// onTimeFrames is how many frames on time end a delivery that was late: a computer
	// that catches up may be called away in the middle.
	onTimeFrames = 16
)

// mostPatience is the longest that a late delivery has the next one waited for.
const mostPatience = 2 * unit.Second

// FastRun is what came so fast, one behind the other, that it can't have been on the
// wire like that: the clump that an adapter hands over, or, if there is too much of
// it, what lay waiting while nobody read.
//
//	frames   | | | | |                 |||||||||||||||| | | | |
//	                  <---- hole ----->^ first         ^ rest
type FastRun struct {
	First  unit.Time // date of the first frame
	Frames int
	Hole   unit.Duration // how long none came before it; Forever: nothing was heard before
	Limit  unit.Duration // that is silence
	Net    int           // frames taken as missing since the hole began, less those taken back
	Owed   unit.Duration // of the holes before runs of which none was surely on time, what their frames did not fill
	Late   bool          // it was read late
	Rest   int           // frames on time that are to come until a late delivery is over
}

// add takes the next frame, since after the one before.
func (r *FastRun) add(at unit.Time, since, limit, period unit.Duration) {
	if r.Frames > 0 && since < backlogStep {
		r.Frames++
		return
	}
	hole := since
	if r.Frames == 0 {
		hole = unit.Forever
	}
	rest, owed := r.Rest-1, unit.Duration(0)
	if r.Late {
		rest = onTimeFrames
	}
	if r.Late || r.behindSilence() {
		owed = r.lacking(period)
	}
	*r = FastRun{First: at, Frames: 1, Hole: hole, Limit: limit, Owed: owed, Rest: max(0, rest)}
}

// lacking is how much of the holes its frames do not fill, at a period; 0: not known.
func (r *FastRun) lacking(period unit.Duration) unit.Duration {
	if period == 0 || r.Hole == unit.Forever {
		return 0
	}
	return max(0, r.Owed+r.Hole-unit.Duration(r.Frames)*period)
}

// unsure reports whether frames behind this one may show that it is late.
func (r *FastRun) unsure() bool { return !r.Late && (r.Frames > 1 || r.behindSilence()) }

// patience is how long the next delivery is waited for behind a late one: twice as long as for
// this one. 0: it was not late.
func (r *FastRun) patience() unit.Duration {
	if !r.Late {
		return 0
	}
	return min(2*min(r.Hole, mostPatience), mostPatience)
}

// behindSilence reports a run behind a silence, real or not.
func (r *FastRun) behindSilence() bool { return r.Hole > r.Limit || r.Rest > 0 }

// judge reports that the run turns out late with this frame. The frames of a run take a
// frame's time each on the wire at least, and about a period each if the bus went
// on through the hole as before.
func (r *FastRun) judge(at unit.Time, period, clump, frameTime unit.Duration) bool {
	if r.Late {
		return false
	}
	late := unit.Duration(r.Frames)*frameTime - at.Sub(r.First) // at least
	if r.behindSilence() {
		filled := period > 0 && r.Hole > r.Limit && r.Hole < unit.Forever && unit.Duration(r.Frames)*period >= r.Hole/2
		r.Late = filled || late > clump+busySpare
	} else {
		r.Late = late > clump+busySpell
	}
	return r.Late
}
