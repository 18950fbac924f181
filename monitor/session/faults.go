package session

import (
	"errors"
	"fmt"
	"os"

	"benchproof.example/monitor/engine"
)

// Bounds of what is kept of faults of ours: one that comes with every frame must
// fill neither a disk nor a screen.
const (
	MaxFaults    = 16      // of one run
	mostFaultLog = 1 << 20 // bytes of the file, over all runs
)

// faultLog keeps where judgement failed, beside the timeline, for those who mend
// it. It writes to a disk, so the judge leaves that to the journal writer.
type faultLog struct {
	path    string
	build   string
	trouble func(error)
	n       int // in this run
}

// keep appends a fault and says where it lies.
func (l *faultLog) keep(f *engine.InternalFault) {
	if l.n++; l.n > MaxFaults {
		return
	}
	more := ""
	if l.n == MaxFaults {
		more = "; no more of this run are kept"
	}
	if err := l.append(f.String()); err != nil {
		l.trouble(fmt.Errorf("judgement failed and was begun afresh: a fault of benchproof's (%s); where could not be kept: %w%s", f.Fault, err, more))
		return
	}
	l.trouble(fmt.Errorf("judgement failed and was begun afresh: a fault of benchproof's (%s); where is in %s, please pass it on%s", f.Fault, l.path, more))
}

func (l *faultLog) append(text string) error {
	w, err := os.OpenFile(l.path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	info, err := w.Stat()
	if err == nil && info.Size()+int64(len(text)) > mostFaultLog {
		err = fmt.Errorf("%s is full; move it away", l.path)
	}
	if err == nil {
		_, err = fmt.Fprintf(w, "%s: %s\n", l.build, text)
	}
	return errors.Join(err, w.Close())
}
