package session

import (
	"errors"
	"fmt"
	"path/filepath"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/files"
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
	folder  files.Folder
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
	l.trouble(fmt.Errorf("judgement failed and was begun afresh: a fault of benchproof's (%s); where is in %s, please pass it on%s",
		f.Fault, filepath.Join(l.folder.Path(), FaultsFile), more))
}

func (l *faultLog) append(text string) error {
	w, err := openAppended(l.folder, FaultsFile, 0)
	if err != nil {
		return err
	}
	if w.End()+int64(len(text)) > mostFaultLog {
		err = fmt.Errorf("%s is full; move it away", filepath.Join(l.folder.Path(), FaultsFile))
	}
	if err == nil {
		_, err = fmt.Fprintf(w, "%s: %s\n", l.build, text)
	}
	return errors.Join(err, w.Close())
}
