package days

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/timeline"
)

var (
	errUnbounded = errors.New("more events wait than may")
	errSilent    = errors.New("something is lost, and nothing is said")
)

// Bounds of what a daemon keeps.
const (
	mostEvents      = 4096
	mostCheckpoints = 18 << 19 // bytes: one has 512 KiB at most
	mostToEnd       = 1200*millisecond + 2*endLooks
	mostLives       = 8
)

// check holds what a life left to what must hold.
func (d *day) check(l *life) error {
	if err := d.checkEnd(l); err != nil {
		return err
	}
	d.otherwise = d.otherwise || slices.ContainsFunc(l.said, isOtherwise)
	disk := l.left.Copy()
	if n := len(disk.Content(session.CheckpointsFile)); n > mostCheckpoints {
		return fmt.Errorf("%d bytes of checkpoints: %w", n, errUnbounded)
	}
	left := wholeLines(disk.Content(timelineFile))
	maps.DeleteFunc(d.inGap, func(line string, _ bool) bool { return !slices.Contains(left, line) }) // what is gone may come alike
	if d.last = nil; d.tampered {
		return d.checkTampered(disk)
	}
	found, err := d.judge(disk)
	d.last = found
	d.excuse(left, found)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("as it was left: %w", err)
	}
	if journal := d.outsideGaps(left); !d.damaged && (len(journal) > len(found.lines) || !slices.Equal(journal, found.lines[:len(journal)])) {
		return fmt.Errorf("as it was left: %w", firstDifference(journal, found.lines))
	}
	if err := d.checkVerdicts(l, found); err != nil {
		return err
	}
	return d.checkOpened(disk, found)
}

// checkOpened opens what a life left, twice.
func (d *day) checkOpened(disk *filestest.Disk, found *judged) error {
	said, err := d.openOnce(disk)
	if err != nil {
		return fmt.Errorf("opened after it: %w", err)
	}
	for _, s := range said {
		if !d.mayBeSaid(s) {
			return fmt.Errorf("opened after it, it says: %s", s)
		}
	}
	if err := d.compare(disk, found, d.otherwise || slices.ContainsFunc(said, isOtherwise)); err != nil {
		return err
	}
	return d.nothingToMend(disk)
}

// excuse notes what the end of a timeline has beyond its recording, where the disk refused that until
// the end: it is said then, and when it is opened.
func (d *day) excuse(left []string, found *judged) {
	if d.faults.last == 0 {
		return
	}
	for _, line := range slices.Backward(left) {
		if slices.Contains(found.lines, line) {
			return
		}
		d.inGap[line] = true
	}
}

// nothingToMend opens what was opened once more.
func (d *day) nothingToMend(disk *filestest.Disk) error {
	said, err := d.openOnce(disk)
	if said = slices.DeleteFunc(said, d.staysSaid); err != nil || len(said) > 0 {
		return fmt.Errorf("opened once more, there is something to mend still: %q, %w", said, err)
	}
	return nil
}

// checkTampered opens what somebody tampered with: it is refused with a reason, or goes on, and
// then nothing is to mend the time after.
func (d *day) checkTampered(disk *filestest.Disk) error {
	d.promised, d.answered = nil, nil
	if _, err := d.openOnce(disk); err != nil {
		return nil //nolint:nilerr // it says why
	}
	if _, err := d.openOnce(disk); err != nil {
		return fmt.Errorf("opened once more: %w", err)
	}
	return nil
}

// checkEnd holds a life that was asked to end to how it did.
func (d *day) checkEnd(l *life) error {
	if l.openErr != nil {
		return d.checkRefused(l)
	}
	if l.by != stops {
		return nil
	}
	if took := d.now - max(l.asked, l.still); took > mostToEnd {
		return fmt.Errorf("it was asked to end and took %v", time.Duration(took))
	}
	if l.err != nil && !d.tampered && max(d.faults.last, l.still)+5*second < l.asked && d.faults.left == 0 {
		return fmt.Errorf("on a disk that is well, it ends with: %w", l.err)
	}
	if l.err == nil && !d.tampered {
		return d.checkShown(l)
	}
	return nil
}

// checkRefused holds a life that could not begin to the reasons that there may be.
func (d *day) checkRefused(l *life) error {
	for _, known := range []error{errFull, errRefused, errGone, files.ErrNotPlain, session.ErrOtherSheet, session.ErrBusy} {
		if errors.Is(l.openErr, known) {
			return nil
		}
	}
	if d.tampered {
		return nil
	}
	return fmt.Errorf("it can't be opened: %w", l.openErr)
}

// checkShown holds what a life showed to what it wrote: each line once, and in order.
func (d *day) checkShown(l *life) error {
	written := linesIn(l.left.Content(timelineFile))
	if len(l.shown) > len(written) || !slices.Equal(l.shown, written[len(written)-len(l.shown):]) {
		last := written[max(0, len(written)-len(l.shown)):]
		return fmt.Errorf("it showed %d lines, and the last of the timeline are others: %w", len(l.shown), firstDifference(l.shown, last))
	}
	return nil
}

// checkVerdicts holds the verdicts of a life that ended well to those of a replay, and what was
// put in to what was recorded.
func (d *day) checkVerdicts(l *life, found *judged) error {
	if err := d.checkInputs(l, found); err != nil {
		return err
	}
	if l.by != stops || l.err != nil || l.openErr != nil || slices.ContainsFunc(l.said, isBehind) {
		return nil
	}
	for i, c := range l.live.Claims() {
		if of := found.claims[i]; c.ID != of.ID || c.Verdict != of.Verdict || c.Sentence != of.Sentence {
			return fmt.Errorf("claim %s was %s: %s\na replay has %s: %s", c.ID, c.Verdict, c.Sentence, of.Verdict, of.Sentence)
		}
	}
	return nil
}

// checkInputs has each input that was put in recorded, in a gap of which it is said, or behind all
// that is left of its life.
func (d *day) checkInputs(l *life, found *judged) error {
	if d.damaged {
		return nil
	}
	for i := range d.puts {
		p := d.puts[i]
		life := p.life
		p.life = 0
		if found.inputs[p] > 0 || found.inGap(p.at) {
			continue
		}
		if p.at < found.lastOf(d, life) || life == l.played.Lives && l.by == stops && l.err == nil {
			return fmt.Errorf("%w: input %v of tap %d at %v of life %d", errSilent, p.kind, p.tap, time.Duration(p.at), life)
		}
	}
	return nil
}

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
		for _, step := range []func() session.Wait{steps.Judge, steps.Record, steps.Write, steps.Close} {
			for w := step(); w.More; {
				w = step()
			}
		}
	}
	return said, steps.Err()
}

// compare holds the timeline to the recording and to what was promised.
func (d *day) compare(disk *filestest.Disk, want *judged, otherwise bool) (err error) {
	if d.damaged { // what stood at its end may be cut off now, or known to lack nothing
		want, err = d.judge(disk)
	} else {
		err = d.goOn(disk, want)
	}
	if err != nil {
		return err
	}
	journal := linesIn(disk.Content(timelineFile))
	if otherwise {
		return nil
	}
	if !slices.Equal(want.lines, d.outsideGaps(journal)) {
		return firstDifference(d.outsideGaps(journal), want.lines)
	}
	if err := d.checkNumbers(journal); err != nil {
		return err
	}
	d.played.Events = len(journal)
	for _, line := range d.promised {
		if !slices.Contains(journal, line) {
			return fmt.Errorf("lost from the timeline: %s", line)
		}
	}
	for _, in := range d.answered {
		if want.people[in]--; want.people[in] < 0 {
			return fmt.Errorf("lost, and was answered as recorded: %v %s", in.kind, in.data)
		}
	}
	return nil
}

// checkNumbers holds the events of a timeline to their numbers: none is lacking, none twice.
func (d *day) checkNumbers(journal []string) error {
	before := int64(0)
	for i, line := range journal {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		if err != nil || e.Seq <= before || e.Seq != before+1 && !d.lacksOfGap(e.Kind) {
			return fmt.Errorf("event %d: got number %d (%w):\n%s", i+1, e.Seq, errors.Join(err), strings.Join(journal[max(0, i-1):i+1], ""))
		}
		before = e.Seq
	}
	return nil
}

// lacksOfGap reports that numbers before an event of this kind may lack: those of a gap, which no recording gives
// again. That is said where the gap ends; a power cut may take that too.
func (d *day) lacksOfGap(kind string) bool {
	return d.faults.last > 0 && (d.damaged || kind == event.RecordingGap)
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
