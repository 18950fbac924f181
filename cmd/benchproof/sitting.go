package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"sync"
	"time"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/past"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// checkpointEvery is how many beats, one a second, lie between two checkpoints.
const checkpointEvery = 60

// liveSession is a live session with a person in front of it: what demo and watch
// share.
type liveSession struct {
	folder    session.Folder
	sheet     *sheet.Sheet
	sheetName string
	sheetText []byte
	papers    sheet.Papers  // of the model, as they lie beside its sheet
	doubts    []sheet.Doubt // of a sheet that a new session begins with
	taps      []listened
	every     int           // beats between checkpoints
	segment   unit.Duration // of the recording; 0: as always
	until     string        // goal of a long run; "": none
	room      int64         // bytes that the recording may take; 0: all that there is
	awake     bool          // a long run keeps the computer from sleeping
	command   []string      // of the user's, for when something goes wrong
	listen    listening
	draft     *dialogue.Dialogue // of a session that listens; nil: it has a sheet
	alone     bool               // the folder goes with the sitting, and what lies beside it is none of ours

	showed *record.Record // what it showed, once run returned; nil: judging the recording tells
}

// listened is a tap and the port it comes in through.
type listened struct {
	name, kind, path string
	protocol         string // of a bus, as the sheet names it
	settings         uart.Format
	open             func(path string) (io.ReadCloser, error) // nil: a serial port
}

// screen shows a person what a session says; run does so until finish, in a goroutine of its own.
type screen interface {
	show(session.Shown)
	notice(error)
	run()
	finish()
}

// run hears until ctx is done, with other running beside it, and shows it as lines and as what
// the session is like now.
func (s *liveSession) run(ctx context.Context, out, talk io.Writer, other func(context.Context)) (*terminal, []*claim.Claim, error) {
	defer s.listen.close()
	live, err := s.open(ctx)
	if err != nil {
		return nil, nil, err
	}
	s.listen.showCode(out)
	terminal := newTerminal(out, talk, s.sheet, live.State)
	redraw := func(ctx context.Context) { every(ctx, terminal.redrawn(), terminal.tick) }
	err = s.hear(ctx, live, terminal, other, redraw)
	return terminal, live.Claims(), err
}

// papersText is what the session keeps of the papers, nil where there are none.
func (s *liveSession) papersText() []byte {
	if len(s.papers.Entries) == 0 {
		return nil
	}
	return s.papers.Text()
}

func (s *liveSession) open(ctx context.Context) (*session.Live, error) {
	live, err := session.Open(ctx, session.Options{
		Folder: s.folder, SheetName: s.sheetName, SheetText: s.sheetText, Sheet: s.sheet, Build: build(), Taps: s.names(),
		Papers: s.papersText(), Entries: s.papers.Entries,
		Clock: port.Clock, Wall: time.Now, Every: s.every, Segment: s.segment, Until: s.until, Room: s.room, Judge: session.Fingerprint,
	})
	if err != nil {
		return nil, fail(openCode(err), err)
	}
	return live, nil
}

// hear hears until ctx is done, with others running beside it.
func (s *liveSession) hear(ctx context.Context, live *session.Live, screen screen, beside ...func(context.Context)) error {
	manager := newSupervised(s.sheet, live.State, screen.notice)
	if s.draft == nil && s.sheet.Listens {
		s.openDraft(screen.notice)
	}
	drills := course.New(s.sheet)
	show := s.served(drills, screen.notice)
	show.Tilt = s.tilts(live)
	server, err := s.listen.server(live, s.folder, show)
	if err != nil {
		return fail(exitUsage, err)
	}
	subscribe(live, screen, manager, drills, server)
	beside = append(beside, manager.run)
	if len(s.command) > 0 {
		told := newOnTrouble(s.command, screen.notice)
		live.Subscribe(session.Subscriber{Shown: told.shown})
		beside = append(beside, told.run)
	}
	if s.longRun() && s.awake {
		beside = append(beside, func(ctx context.Context) { keepAwake(ctx, screen.notice) })
	}
	if s.draft != nil {
		live.Subscribe(session.Subscriber{Heard: s.draft.Heard})
		beside = append(beside, s.draft.Run)
	}
	for _, n := range live.Notices {
		screen.notice(errors.New(n))
	}
	end := s.listen.serve(ctx, server, s.folder, screen.notice)
	err = s.listenAndShow(ctx, live, screen, append(beside, s.ports(live)...))
	end() // with the last events shown
	if err == nil {
		s.showed, _ = live.Record()
	}
	return err
}

// beside has the sessions that lie beside this one; nil: there are none.
func (s *liveSession) beside() api.Past {
	sessions, err := past.New(string(s.folder))
	if err != nil {
		return nil
	}
	sessions.Alone = s.alone
	return sessions
}

// subscribe has all who show something of the session get it.
func subscribe(live *session.Live, screen screen, manager *supervised, drills *course.Course, server *api.Server) {
	live.Subscribe(session.Subscriber{Shown: screen.show, Trouble: screen.notice})
	live.Subscribe(session.Subscriber{Judged: manager.judged})
	shown := func(e session.Shown) {
		drills.Take(&e.Event)
		server.Publish(e.Event.Seq, e.Line)
		server.Caused(e.Input, &e.Event)
	}
	live.Subscribe(session.Subscriber{Shown: shown, AllShown: server.AllCaused, Pictured: server.Pictured})
}

func (s *liveSession) names() (names []event.TapName) {
	for _, t := range s.taps {
		names = append(names, event.TapName{Name: t.name, Kind: t.kind, Protocol: t.protocol})
	}
	return names
}

func (s *liveSession) ports(live *session.Live) (run []func(context.Context)) {
	for i, t := range s.taps {
		if t.kind == "tilt" { // what it says comes by HTTP
			up, _ := json.Marshal(event.Port{Port: "a phone's page"})
			run = append(run, func(context.Context) { live.Seq.Put(uint8(i+1), event.InputTapUp, up) })
			continue
		}
		p := port.Port{Tap: uint8(i + 1), Path: t.path, Settings: t.settings, Seq: live.Seq, Open: t.open}
		run = append(run, p.Run)
	}
	return run
}

// listenAndShow runs the session and shows it until ctx is done.
func (s *liveSession) listenAndShow(ctx context.Context, live *session.Live, screen screen, run []func(context.Context)) error {
	var showing sync.WaitGroup
	showing.Go(screen.run)
	err := live.Run(ctx, run...)
	screen.finish()
	showing.Wait()
	return fail(exitDevice, err)
}

func every(ctx context.Context, d time.Duration, f func()) {
	tick := time.NewTicker(d)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			f()
		}
	}
}

// openCode is the exit code for a session that could not be opened.
func openCode(err error) int {
	var m sheet.Mistakes
	if errors.As(err, &m) || errors.Is(err, session.ErrOtherSheet) || errors.Is(err, session.ErrBusy) {
		return exitUsage
	}
	return exitDevice
}
