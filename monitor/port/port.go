package port

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"sync"
	"syscall"
	"time"

	"go.bug.st/serial"

	"benchproof.example/monitor/event"
)

const (
	// retryAfter is how long a port that could not be opened is left alone.
	retryAfter = 250 * time.Millisecond
	// retryBusy is the same where somebody has to be looked for each time.
	retryBusy = time.Second
	// refusalGrace is how long a refusal is not said: for a moment after plugging a
	// port belongs to nobody who may open it, until the system has set its group.
	refusalGrace = 2 * time.Second
)

// Port is a serial port that a tap comes in through. It may be missing, vanish
// and come back: each is a dated input, never an exit.
type Port struct {
	Tap      uint8
	Path     string
	Settings Settings // Bus where none are given
	Seq      *Sequencer

	// Open opens what is behind Path; nil: a serial port, which is opened again
	// by its stable name once that is known.
	Open func(path string) (io.ReadCloser, error)

	retry   time.Duration
	name    string // to open, and to be reported: Path or its stable name
	said    string
	refused time.Time // when opening was first refused; zero: it was not, last time
	marks   marks

	mu      sync.Mutex
	counted Counters
	counts  bool
}

// Run opens the port, reads it and opens it again, until ctx is done. It only
// listens: nothing is ever written to the port.
func (p *Port) Run(ctx context.Context) {
	p.name = p.Path
	if p.Settings == (Settings{}) {
		p.Settings = BusLine
	}
	if p.retry == 0 {
		p.retry = retryAfter
	}
	for ctx.Err() == nil {
		pause := p.retry
		l, err := p.open()
		switch {
		case err == nil:
			p.refused = time.Time{}
			p.up(l)
			err = p.read(ctx, l)
			if ctx.Err() != nil {
				return // closed by us
			}
			p.down(gone(p.name, err))
		case !p.mayPass(err):
			p.down(Explain(p.name, err))
		}
		if isBusy(err) {
			pause = retryBusy
		}
		select {
		case <-ctx.Done():
		case <-time.After(pause):
		}
	}
}

func gone(name string, err error) string {
	why := ""
	if !errors.Is(err, io.EOF) {
		why = fmt.Sprintf(" (%v)", err)
	}
	return fmt.Sprintf("%s went away%s: plug it in again, it is reopened by itself", name, why)
}

func (p *Port) open() (line, error) {
	if p.Open != nil {
		r, err := p.Open(p.Path)
		return stream{r, p.Settings}, err
	}
	if p.name == p.Path {
		p.name = stableName(p.Path)
	}
	return openPort(p.name, p.Settings)
}

// mayPass reports whether a refusal is so young that it may be the system's, not
// yet done with a port that was just plugged in.
func (p *Port) mayPass(err error) bool {
	if !isRefused(err) {
		p.refused = time.Time{}
		return false
	}
	if p.refused.IsZero() {
		p.refused = time.Now()
	}
	return time.Since(p.refused) < refusalGrace
}

func isRefused(err error) bool {
	var trouble *serial.PortError
	return errors.Is(err, fs.ErrPermission) || errors.As(err, &trouble) && trouble.Code() == serial.PermissionDenied
}

func isBusy(err error) bool {
	var held *HeldError
	var trouble *serial.PortError
	return errors.As(err, &held) || errors.Is(err, syscall.EBUSY) || errors.As(err, &trouble) && trouble.Code() == serial.PortBusy
}

func (p *Port) up(l line) {
	p.said = ""
	port := l.port()
	port.Port = p.name
	data, _ := json.Marshal(port)
	p.Seq.Put(p.Tap, event.TapUp, data)
}

// down says why the port is not read, once for each reason.
func (p *Port) down(why string) {
	if why != p.said {
		p.said = why
		p.Seq.Put(p.Tap, event.TapDown, []byte(why))
	}
}

// read puts what comes until the port fails or ctx is done. The port is closed
// when it returns: left open, a port that is plugged in again comes back under
// another number.
func (p *Port) read(ctx context.Context, l line) error {
	stop := context.AfterFunc(ctx, func() { _ = l.Close() })
	counting, enough := context.WithCancel(ctx)
	var counter sync.WaitGroup
	counter.Go(func() { p.count(counting, l) })
	defer func() {
		enough()
		counter.Wait()
		if stop() {
			_ = l.Close()
		}
	}()
	take := p.put
	if l.marked() {
		p.marks.Reset()
		take = p.unmark
	}
	return l.read(take)
}

func (p *Port) put(b []byte) { p.Seq.Put(p.Tap, event.Bytes, b) }

func (p *Port) unmark(b []byte) { p.marks.Feed(b, p.putRun) }

func (p *Port) putRun(run []byte, bad bool) {
	kind := event.Bytes
	if bad {
		kind = event.BadByte
	}
	p.Seq.Put(p.Tap, kind, run)
}
