package link

import "benchproof.example/monitor/unit"

// flagRun is what frames have been flagged since the latest live one.
type flagRun struct {
	Row      int       // flagged frames in a row,
	From     unit.Time // wire time of the first of them
	Given    int       // with the failsafe flag, in a row,
	Set      unit.Time // the first of those
	Lost     unit.Time // the first frame flagged as lost, 0: none
	Failsafe unit.Time // the first of four in a row with the failsafe flag, 0: none
	NotYet   unit.Time // the latest frame without that flag before the first of those
	Believed bool      // it is long enough: the signal is lost
}

// join takes over what a run has found before.
func (f *flagRun) join(before *flagRun) {
	if before.Believed {
		f.Failsafe, f.NotYet, f.Lost, f.Believed = before.Failsafe, before.NotYet, before.Lost, true
	}
}

// runLeast is how long frames are flagged as lost, at the least, before the failsafe
// flag follows where the first of them comes as soon as one is missed.
const runLeast = 450 * unit.Millisecond

// dates reports that the first frame flagged as lost may be the first that was lost.
func (f *flagRun) dates() bool { return f.Lost != 0 && (f.Failsafe == 0 || f.Lost < f.Failsafe) }

// sudden reports that the failsafe flag came with no run of lost frames before.
func (f *flagRun) sudden() bool {
	return f.Failsafe != 0 && (f.Lost == 0 || f.Failsafe.Sub(f.Lost) < runLeast)
}

// latest takes over what a run has found meanwhile.
func (f *flagRun) latest(now *flagRun) {
	if !now.Believed {
		return
	}
	f.Believed = true
	if f.Failsafe == 0 {
		f.Failsafe, f.NotYet = now.Failsafe, now.NotYet
	}
	if f.Lost == 0 {
		f.Lost = now.Lost
	}
}
