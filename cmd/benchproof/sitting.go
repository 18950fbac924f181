package main

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/control"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
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
	doubts    []sheet.Doubt // of a sheet that a new session begins with
	taps      []listened
	every     int // beats between checkpoints
	listen    listening
}

// listened is a tap and the port it comes in through.
type listened struct {
	name, kind, path string
	protocol         string // of a bus, as the sheet names it
	settings         uart.Format
	open             func(path string) (io.ReadCloser, error) // nil: a serial port
}

// run hears until ctx is done, with other running beside it.
func (s *liveSession) run(ctx context.Context, out, talk io.Writer, other func(context.Context)) (*terminal, []*claim.Claim, error) {
	defer s.listen.close()
	live, err := session.Open(session.Options{
		Folder: s.folder, SheetName: s.sheetName, SheetText: s.sheetText, Build: build(), Taps: s.names(),
		Clock: port.Clock, Wall: time.Now, Every: s.every, Judge: session.Fingerprint,
	})
	if err != nil {
		return nil, nil, fail(openCode(err), err)
	}
	put := func(kind event.InputKind, data []byte) { live.Seq.Put(event.BenchTap, kind, data) }
	screen := newTerminal(out, talk, s.sheet, live.State)
	manager := newSupervised(s.sheet, live.State, screen.notice)
	door := &control.Server{Folder: string(s.folder), Put: put, Check: checkInput(s.sheet)}
	web, err := s.listen.server(live, s.folder, checked(door.Check, put), screen.notice)
	if err != nil {
		return nil, nil, fail(exitUsage, err)
	}
	subscribe(live, screen, manager, door, web)
	for _, n := range live.Notices {
		screen.notice(errors.New(n))
	}
	beside := []func(context.Context){other, manager.run, s.letIn(door, screen.notice)}
	end := s.listen.serve(ctx, web, screen.notice)
	err = s.listenAndShow(ctx, live, screen, append(beside, s.ports(live)...))
	end() // with the last events shown
	return screen, live.Claims(), err
}

// subscribe has all who show something of the session get it. web may be nil.
func subscribe(live *session.Live, screen *terminal, manager *supervised, door *control.Server, web *api.Server) {
	live.Subscribe(session.Subscriber{Shown: screen.show, Trouble: screen.notice})
	live.Subscribe(session.Subscriber{Judged: manager.judged})
	live.Subscribe(session.Subscriber{Shown: func(e session.Shown) { door.Publish(e.Line) }})
	if web != nil {
		live.Subscribe(session.Subscriber{Shown: func(e session.Shown) { web.Publish(e.Event.Seq, e.Line) }})
	}
}

func (s *liveSession) names() (names []event.TapName) {
	for _, t := range s.taps {
		names = append(names, event.TapName{Name: t.name, Kind: t.kind, Protocol: t.protocol})
	}
	return names
}

func (s *liveSession) ports(live *session.Live) (run []func(context.Context)) {
	for i, t := range s.taps {
		p := port.Port{Tap: uint8(i + 1), Path: t.path, Settings: t.settings, Seq: live.Seq, Open: t.open}
		run = append(run, p.Run)
	}
	return run
}

// listenAndShow runs the session and shows it until ctx is done.
func (s *liveSession) listenAndShow(ctx context.Context, live *session.Live, screen *terminal, run []func(context.Context)) error {
	var showing sync.WaitGroup
	showing.Go(screen.run)
	redraw, stop := context.WithCancel(ctx)
	showing.Go(func() { everySecond(redraw, screen.tick) })
	err := live.Run(ctx, run...)
	stop()
	screen.finish()
	showing.Wait()
	return fail(exitDevice, err)
}

// letIn serves drills, marks and reopenings while the session runs. Without them
// it goes on.
func (s *liveSession) letIn(door *control.Server, notice func(error)) func(context.Context) {
	return func(ctx context.Context) {
		if err := door.Serve(ctx); err != nil {
			notice(err)
		}
	}
}

func everySecond(ctx context.Context, f func()) {
	tick := time.NewTicker(time.Second)
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
