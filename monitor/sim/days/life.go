package days

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/session"
)

const timelineFile = session.TimelineFile

// life is one run of the daemon.
type life struct {
	*day
	live    *session.Live
	steps   *session.Steps
	handler http.Handler
	hears   bool  // ports are read
	stop    bool  // it is asked to end
	asked   int64 // when it was
	still   int64 // until when nothing of it goes on
	over    bool
	by      What // that it ended by
	call    string
	left    *filestest.Disk // that it leaves; nil: the one that it had
	openErr error
	err     error // that it ended with
	said    []string
	puts    []put
	gap     int64 // number of the input with which a gap began, -1: there is none
	gaps    int
	shown   []string // lines that were shown
}

// begin begins a life at a time.
func (d *day) begin(at int64) {
	l := &life{day: d, gap: -1}
	d.start(nil, at, func() {
		d.life = l
		d.played.Lives++
		d.start(l, d.now, l.run)
	})
}

// mount is the folder for one life.
type mount struct {
	*filestest.Disk
	of *day
}

// Lock implements files.Folder.
func (m *mount) Lock(name string) (bool, error) {
	if err := m.of.before(filestest.Call{Op: "lock", Name: name}); err != nil {
		return false, err
	}
	if m.of.held != nil && m.of.held != m {
		return false, nil
	}
	m.of.held = m
	return true, nil
}

// Close implements files.Folder.
func (m *mount) Close() error {
	if m.of.held == m {
		m.of.held = nil
	}
	return nil
}

func taps() []event.TapName { return []event.TapName{{Name: "main", Kind: "bus"}} }

func (d *day) options(in files.Folder) session.Options {
	luck := rand.New(rand.NewPCG(d.story.Seed, uint64(22+d.played.Lives)))
	return session.Options{
		Taps: taps(), Build: "day", SheetName: "day", SheetText: []byte(d.story.Sheet), Sheet: d.sheet,
		Every: d.story.Every, Segment: d.story.Segment,
		Clock: func() int64 { return d.now }, Wall: func() time.Time { return time.Unix(0, d.wall()) },
		Judge:       func() string { return "0123456789abcdef" },
		NewIdentity: func() string { return fmt.Sprintf("%016x%016x", luck.Uint64(), luck.Uint64()) },
		OpenFolder:  func(string) (files.Folder, error) { return in, nil },
	}
}

func (d *day) wall() int64 { return wall + d.now + d.wallOff }

// run is the life from its beginning to its end.
func (l *life) run() {
	opt := l.options(&mount{l.disk, l.day})
	opt.Lock = &turns{of: l.day}
	l.live, l.openErr = session.Open(context.Background(), opt)
	if l.over {
		return
	}
	if l.openErr != nil {
		l.over, l.by = true, "a refusal to open"
		return
	}
	l.said = append(l.said, l.live.Notices...)
	l.live.Subscribe(session.Subscriber{Shown: l.show, Trouble: l.trouble})
	if l.failed = l.serve(); l.failed != nil {
		return
	}
	l.steps = l.live.Steps()
	l.hears = true
	if !l.gone {
		l.put(1, event.InputTapUp, []byte(plugged))
	}
	for _, part := range []func() session.Wait{l.steps.Judge, l.steps.Record, l.steps.Write, l.steps.Close} {
		l.start(l, l.now, func() { l.work(part) })
	}
	l.begun = append(l.begun, l.now)
	l.each(second, func() { l.beat() })
	l.each(second, func() { l.steps.Sync() })
	l.each(10*second, func() { l.steps.Tidy(context.Background()) })
	for !l.stop {
		if !l.sleep(l.now + 10*millisecond) {
			return
		}
	}
	l.ends()
}

// endLooks is how often who ends a life looks whether it is over.
const endLooks = 5 * millisecond

// ends ends it as who runs it does.
func (l *life) ends() {
	l.hears, l.asked = false, l.now
	for w := l.steps.End(); !w.Over; w = l.steps.End() {
		if !l.sleep(l.now + endLooks) {
			return
		}
	}
	if !l.over {
		l.over, l.by, l.err, l.left = true, stops, l.steps.Err(), l.disk.Copy() // where it waits for the disk still it ends as if killed
	}
}

// work does the steps of a part.
func (l *life) work(step func() session.Wait) {
	for {
		w := step()
		until := l.now
		switch {
		case w.Over || l.over:
			return
		case !w.More:
			until = l.pause()
		case l.luck.IntN(8) > 0:
			continue
		}
		if !l.sleep(until) {
			return
		}
	}
}

// pause draws when a part looks again whether it has something to do.
func (l *life) pause() int64 {
	most := 60 * millisecond
	if l.luck.IntN(50) == 0 {
		most = 250 * millisecond
	}
	return l.now + 1 + l.luck.Int64N(most)
}

// each does something now and then, from after the first time on.
func (l *life) each(time int64, do func()) {
	l.start(l, l.now+time, func() {
		for !l.over {
			do()
			if !l.sleep(l.now + time) {
				return
			}
		}
	})
}

// show follows the events, and notes those of a gap but what its beginning itself caused.
func (l *life) show(s session.Shown) {
	gap, isGap := s.Event.Data.(event.RecordingGapData)
	switch {
	case isGap && !gap.Ended:
		l.gap = s.Input
		l.gaps++
		l.played.Gaps++
	case isGap, s.Event.Kind == event.SessionResumed:
		l.gap = -1
	case l.gap >= 0 && s.Input != l.gap:
		l.inGap[string(s.Line)] = true
	}
	if !l.over {
		l.shown = append(l.shown, string(s.Line))
	}
}

func (l *life) trouble(err error) {
	if !l.over {
		l.said = append(l.said, err.Error())
		l.note("said: %v", err)
	}
}

// turns is a lock between routines.
type turns struct {
	of   *day
	held bool
}

// Lock implements sync.Locker.
func (t *turns) Lock() {
	for t.held {
		if !t.of.sleep(t.of.now + millisecond) {
			return
		}
	}
	t.held = true
}

// Unlock implements sync.Locker.
func (t *turns) Unlock() { t.held = false }
