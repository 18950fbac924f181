package session

import "errors"

// watchdog runs with every beat: a disk that does not answer, or takes less than comes
// in, begins a recording gap, and in a gap events are shown at once.
func (l *Live) watchdog() {
	if l.diskStalls() {
		l.rec.beginGap("the disk has not answered for 2 s")
		l.pub.diskTrouble(errors.New("the disk has not answered for 2 s: watching goes on, the recording has a gap until it does"))
	}
	if l.Seq.RecorderBehind() {
		l.rec.beginGap("the disk is slower than what comes in")
		l.pub.diskTrouble(errors.New("the disk is slower than what comes in: watching goes on, the recording has a gap until it has caught up"))
	}
	if l.Seq.RecorderOff() {
		l.writer.queue.showAtOnce()
	}
}

func (l *Live) diskStalls() bool {
	return l.rec.busy.stalled(l.opt.Clock) || l.writer.busy.stalled(l.opt.Clock)
}
