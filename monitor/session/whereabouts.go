package session

import (
	"fmt"
	"sync/atomic"
)

// whereabouts say whether the files that are written to are where their paths lead. A folder
// that was moved or deleted takes what is written all the same, and nobody would find it:
// so the recording has a gap until all is in its place again.
type whereabouts struct{ now atomic.Int32 }

const (
	inPlace = iota
	displaced
	backInPlace // until the gap is over
)

func (w *whereabouts) lost() bool { return w.now.Load() == displaced }

// whyBack is why a recording gap ends.
func (w *whereabouts) whyBack() string {
	if w.now.CompareAndSwap(backInPlace, inPlace) {
		return "the session's files are in their places again"
	}
	return "the disk answers again"
}

// lookForFiles compares the files that are written to with their paths.
func (l *Live) lookForFiles() {
	name := l.files.displaced()
	w := &l.rec.whereabouts
	switch {
	case name != "" && !(w.lost() && l.Seq.RecorderOff()):
		w.now.Store(displaced)
		l.rec.beginGap(fmt.Sprintf("%s, or its folder, was moved, deleted or replaced", name))
		l.pub.diskTrouble(fmt.Errorf("recording has stopped, watching goes on: %s was moved, deleted or replaced while it was written to; "+
			"it goes on when the file is in its place again, else stop and begin another session", l.opt.Folder.Path(name)))
	case name == "" && w.lost():
		w.now.Store(backInPlace)
	}
}
