package days

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/timeline"
)

// check holds what a life left to what must hold.
func (d *day) check(l *life) error {
	disk := l.left.Copy()
	if l.openErr != nil {
		return fmt.Errorf("it can't be opened: %w", l.openErr)
	}
	left := wholeLines(disk.Content(timelineFile))
	maps.DeleteFunc(d.inGap, func(line string, _ bool) bool { return !slices.Contains(left, line) }) // what is gone may come alike
	found, err := d.judge(disk)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("as it was left: %w", err)
	}
	if journal := d.outsideGaps(left); len(journal) > len(found.lines) || !slices.Equal(journal, found.lines[:len(journal)]) {
		return fmt.Errorf("as it was left: %w", firstDifference(journal, found.lines))
	}
	said, err := d.openOnce(disk)
	if err != nil {
		return fmt.Errorf("opened after it: %w", err)
	}
	for _, s := range said {
		if !mayBeSaid.MatchString(s) && !(d.damaged && ofDamage.MatchString(s)) {
			return fmt.Errorf("opened after it, it says: %s", s)
		}
	}
	if err := d.compare(disk); err != nil {
		return err
	}
	said, err = d.openOnce(disk)
	if said = slices.DeleteFunc(said, func(s string) bool { return d.damaged && ofDamage.MatchString(s) }); err != nil || len(said) > 0 {
		return fmt.Errorf("opened once more, there is something to mend still: %q, %w", said, err)
	}
	return nil
}

// mayBeSaid is what a power cut may do.
var mayBeSaid = regexp.MustCompile(`^(the last \d+ bytes of the (timeline|recording) were half-written; they were cut off|the timeline was longer: )`)

// ofDamage is what is said of what stays damaged.
var ofDamage = regexp.MustCompile(`^(the recording is damaged |the timeline is damaged )`)

// openOnce opens what is on a disk, ends at once, and gives what is said.
func (d *day) openOnce(disk *filestest.Disk) (said []string, err error) {
	opt, now := d.options(disk), d.now
	opt.Clock = func() int64 { return now }
	live, err := session.Open(context.Background(), opt)
	if err != nil {
		return nil, err
	}
	said = live.Notices
	live.Subscribe(session.Subscriber{Trouble: func(err error) { said = append(said, err.Error()) }})
	steps := live.Steps()
	for ; !steps.End().Over; now += 10 * millisecond {
		for _, step := range []func() session.Wait{steps.Judge, steps.Record, steps.Write} {
			for w := step(); w.More; {
				w = step()
			}
		}
	}
	return said, steps.Err()
}

// judged is what a recording gives.
type judged struct {
	lines  []string
	claims []*claim.Claim
}

// judge judges a recording, which must be whole but for its tail.
func (d *day) judge(in files.Folder) (j judged, err error) {
	var failed error
	e := engine.New(d.sheet, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		failed = errors.Join(failed, err)
		j.lines = append(j.lines, string(line))
	})
	r, err := recording.OpenSegments(in)
	if err != nil {
		return j, err
	}
	var input event.Input
	for err == nil {
		err = e.StepFrom(r, &input)
	}
	j.claims = e.Claims()
	if damages := r.Damages(); len(damages) > 0 && !d.damaged {
		return j, fmt.Errorf("the recording is damaged: %v", damages)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, recording.ErrNotRecording) && len(j.lines) == 0 {
		err = nil
	}
	return j, errors.Join(err, failed, r.Close())
}

// compare holds the timeline to the recording and to what was promised.
func (d *day) compare(disk *filestest.Disk) error {
	want, err := d.judge(disk)
	if err != nil {
		return err
	}
	journal := linesIn(disk.Content(timelineFile))
	if !slices.Equal(want.lines, d.outsideGaps(journal)) {
		return firstDifference(d.outsideGaps(journal), want.lines)
	}
	have := map[string]bool{}
	for i, line := range journal {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		if err != nil || e.Seq != int64(i+1) {
			return fmt.Errorf("event %d: got number %d, %w", i+1, e.Seq, err)
		}
		have[line] = true
		if e.Kind == event.Mark {
			have[string(e.Data)] = true
		}
	}
	d.played.Events = len(journal)
	for _, line := range d.promised {
		if !have[line] {
			return fmt.Errorf("lost from the timeline: %s", line)
		}
	}
	for _, text := range d.answered {
		if !have[fmt.Sprintf(`{"text":%q}`, text)] {
			return fmt.Errorf("lost, and was answered as recorded: %s", text)
		}
	}
	return nil
}

func firstDifference(timeline, recorded []string) error {
	n := 0
	for n < min(len(timeline), len(recorded)) && timeline[n] == recorded[n] {
		n++
	}
	next := func(lines []string) string { return strings.Join(lines[n:min(n+1, len(lines))], "") }
	return fmt.Errorf("the timeline has %d events, the recording gives %d; the first that differs:\n%s%s",
		len(timeline), len(recorded), next(timeline), next(recorded))
}

// linesIn are the lines of a text, each with its newline.
func linesIn(text []byte) []string {
	lines := strings.SplitAfter(string(text), "\n")
	if lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

// wholeLines are those with their newline.
func wholeLines(text []byte) []string {
	return linesIn(text[:strings.LastIndexByte(string(text), '\n')+1])
}
