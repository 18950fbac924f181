package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"

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
	if r.Most > 0 && (r.Free < 0 || r.Most < r.Free) {
		return s + fmt.Sprintf("; it may take %s, room for %s: then watching goes on and the recording stops", gigabytes(r.Most), wholeDays(r.Days()))
	}
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

// sizeOfRoom is how a size is written.
var sizeOfRoom = regexp.MustCompile(`^([0-9]{1,5}(?:\.[0-9]{1,3})?) ?(MB|GB|TB)$`)

// recordingRoom reads how much a recording may take, bytes; 0 for "".
func recordingRoom(text string) (int64, error) {
	if text == "" {
		return 0, nil
	}
	part := sizeOfRoom.FindStringSubmatch(text)
	if part != nil {
		n, _ := strconv.ParseFloat(part[1], 64) // digits, few enough
		if n > 0 {
			return int64(n * map[string]float64{"MB": 1e6, "GB": 1e9, "TB": 1e12}[part[2]]), nil
		}
	}
	return 0, fmt.Errorf("got --recording-room %q, want a size such as 20GB or 700MB", clip(text, 40))
}

// wholeDays is a number of days in words.
func wholeDays(n int64) string {
	switch {
	case n < 1:
		return "LESS THAN A DAY"
	case n == 1:
		return "a day"
	}
	return fmt.Sprintf("%d days", n)
}

// gigabytes are bytes with as many digits as say something.
func gigabytes(n int64) string {
	if n < 10_000_000_000 {
		return fmt.Sprintf("%.2f GB", float64(n)/1e9)
	}
	return fmt.Sprintf("%.0f GB", float64(n)/1e9)
}
