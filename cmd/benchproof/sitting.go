package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/control"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/tap"
)

// checkpointEvery is how many beats, one a second, lie between two checkpoints.
const checkpointEvery = 60

// sitting is a live session with a person in front of it: what demo and watch
// share.
type sitting struct {
	folder    session.Folder
	sheetName string
	sheetText []byte
	buses     []bus
	every     int // beats between checkpoints
}

// bus is a bus tap and the port it comes in through.
type bus struct {
	name, path string
	open       func(path string) (io.ReadCloser, error) // nil: a serial port
}

// run hears until ctx is done, with other running beside it.
func (s *sitting) run(ctx context.Context, out, talk io.Writer, other func(context.Context)) (*terminal, []*claim.Claim, error) {
	var live *session.Live
	screen := newTerminal(out, talk, func() fact.Time { return live.Seq.Now() })
	door := control.Server{Folder: string(s.folder), Put: func(kind fact.Kind, data []byte) { live.Seq.Put(fact.BenchTap, kind, data) }}
	opt := session.Options{
		Folder: s.folder, SheetName: s.sheetName, SheetText: s.sheetText, Build: build(),
		Clock: tap.Clock, Wall: time.Now, Trouble: screen.notice, Every: s.every,
		Show: func(e session.Shown) { screen.show(e); door.Publish(e.Line) },
	}
	for _, b := range s.buses {
		opt.Taps = append(opt.Taps, fact.TapName{Name: b.name, Kind: "bus"})
	}
	live, err := session.Open(opt)
	if err != nil {
		return nil, nil, fail(openCode(err), err)
	}
	for _, n := range live.Notices {
		screen.notice(errors.New(n))
	}
	ports := []func(context.Context){other, s.letIn(&door, screen.notice)}
	for i, b := range s.buses {
		p := tap.Port{Tap: uint8(i + 1), Path: b.path, Seq: live.Seq, Open: b.open}
		ports = append(ports, p.Run)
	}
	var showing sync.WaitGroup
	showing.Go(screen.run)
	redraw, stop := context.WithCancel(ctx)
	showing.Go(func() { everySecond(redraw, screen.tick) })
	err = live.Run(ctx, ports...)
	stop()
	screen.finish()
	showing.Wait()
	return screen, live.Claims(), fail(exitDevice, err)
}

// letIn serves drills, marks and reopenings while the session runs. Without them
// it goes on.
func (s *sitting) letIn(door *control.Server, notice func(error)) func(context.Context) {
	return func(ctx context.Context) {
		sh, err := sheet.Read(s.sheetName, s.sheetText)
		if err == nil {
			door.Check = checkInput(sh)
			err = door.Serve(ctx)
		}
		if err != nil {
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

// parseBuses reads --bus [NAME=]PORT, checked against the sheet's taps.
func parseBuses(args []string, s *sheet.Sheet) ([]bus, error) {
	var free []string
	for _, t := range s.Taps {
		if t.Kind == "bus" {
			free = append(free, t.Name)
		}
	}
	names := strings.Join(free, ", ")
	var list []bus
	for _, a := range args {
		name, path, named := strings.Cut(a, "=")
		if !named {
			if len(free) == 0 {
				return nil, fmt.Errorf("got the port %s for a bus, but the sheet has no further bus tap; its bus taps are: %s", a, names)
			}
			name, path = free[0], a
		}
		i := indexOf(free, name)
		if i < 0 || path == "" {
			return nil, fmt.Errorf("got --bus %s, want NAME=PORT with a bus tap of the sheet, each once: %s", a, names)
		}
		free = append(free[:i], free[i+1:]...)
		list = append(list, bus{name: name, path: path})
	}
	return list, nil
}

func indexOf(list []string, s string) int {
	for i := range list {
		if list[i] == s {
			return i
		}
	}
	return -1
}
