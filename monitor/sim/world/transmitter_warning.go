package world

// homeWithin is how far off its start a control may stand and still be home (an
// assumption: more than hands miss by).
const homeWithin = 12 * us

// warning is a transmitter's refusal to send when it was switched on with
// controls away from home, until all are there (common practice).
type warning struct {
	bench    *Plan
	truths   *truthLog
	controls bool // switched on, and not content yet
	known    bool
}

// quiet says whether the transmitter keeps silent, given where the hands have its
// controls.
func (w *warning) quiet(now int64, hands []int64) bool {
	if !w.controls {
		return false
	}
	home := w.home(hands)
	switch {
	case !home && !w.known:
		w.truths.note(now, "warning", transmitterName, "began")
	case home && w.known:
		w.truths.note(now, "warning", transmitterName, "ended")
	}
	w.controls, w.known = !home, !home
	return !home
}

// power is the transmitter being switched.
func (w *warning) power(now int64, on bool) {
	if !on && w.known {
		w.truths.note(now, "warning", transmitterName, "ended")
	}
	w.controls, w.known = on, false
}

func (w *warning) home(hands []int64) bool {
	for _, c := range w.bench.Warns {
		start := w.bench.Channels[c].Start
		if off := hands[c] - start; off < -homeWithin || off > homeWithin {
			return false
		}
	}
	return true
}
