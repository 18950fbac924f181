package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"benchproof.example/monitor/session"
	"benchproof.example/monitor/view"
)

// longRun reports whether a sitting is a long run: a goal was declared for it, or its sheet
// says under what it is done.
func (s *liveSession) longRun() bool { return s.until != "" || s.sheet.Soak != nil }

// beginLongRun says under what a long run is done and what to mind. From here on it survives
// the closing of its terminal.
func (s *liveSession) beginLongRun(ctx context.Context, talk io.Writer) {
	outliveTerminal(ctx)
	for _, line := range view.LongRunBegins(s.sheet, s.until) {
		say(talk, "benchproof: "+line)
	}
	say(talk, fmt.Sprintf("benchproof: it goes on when this terminal is closed; from another one it is stopped with: kill %d", os.Getpid()))
}

// endLongRun says how a long run stands. It is for the time after run.
func (t *terminal) endLongRun(folder string) {
	now := t.state()
	columns, _ := sizeOf(t.out)
	for _, line := range view.LongRunEnds(&now) {
		fmt.Fprintln(t.out, view.Hang("", line, columns))
	}
	fmt.Fprintln(t.out, view.Hang("", "The whole account: benchproof soak "+folder, columns))
}

// roomSentence says what a recording takes on the disk, and for how long that has room.
func roomSentence(r session.Room) string {
	s := fmt.Sprintf("a day of recording takes about %s, and up to %s beside it until that is packed", gigabytes(r.Day), gigabytes(r.Open))
	switch days := r.Days(); {
	case days < 0:
		return s + "; how much room the disk has is not known here"
	case days < 1:
		return s + fmt.Sprintf("; THE DISK HAS ROOM FOR LESS THAN A DAY, %s: when it is full, watching goes on and the recording stops", gigabytes(r.Free))
	case days > 1000:
		return s + fmt.Sprintf("; the disk has %s, room for years", gigabytes(r.Free))
	default:
		return s + fmt.Sprintf("; the disk has %s, room for %d days", gigabytes(r.Free), days)
	}
}

// gigabytes are bytes with as many digits as say something.
func gigabytes(n int64) string {
	if n < 10_000_000_000 {
		return fmt.Sprintf("%.2f GB", float64(n)/1e9)
	}
	return fmt.Sprintf("%.0f GB", float64(n)/1e9)
}
