package port

import (
	"context"
	"encoding/json"
	"io"
	"sync"
	"time"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
)

// Port is a serial port that a tap comes in through. It may be missing, vanish
// and come back: each is a dated input, never an exit.
type Port struct {
	Tap      uint8
	Path     string
	Settings uart.Format // how the line is sent; that of the first protocol where it is left out
	Seq      *Sequencer

	// Open opens what is behind Path; nil: a serial port, which is opened again
	// by its stable name once that is known.
	Open func(path string) (io.ReadCloser, error)

	retry   time.Duration
	name    string // to open, and to be reported: Path or its stable name
	said    string
	away    bool      // it went away, which was said: that it is missing since is nothing new
	refused time.Time // when opening was first refused; zero: it was not, last time
	marks   marks

	mu      sync.Mutex
	counted Counters
	counts  bool
}

func (p *Port) up(l line) {
	p.said = ""
	port := l.port()
	port.Port = p.name
	data, _ := json.Marshal(port)
	p.Seq.Put(p.Tap, event.InputTapUp, data)
}

// down says why the port is not read, once for each reason.
func (p *Port) down(why string) {
	if why != p.said {
		p.said = why
		p.Seq.Put(p.Tap, event.InputTapDown, []byte(why))
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

func (p *Port) put(b []byte) { p.Seq.Put(p.Tap, event.InputBytes, b) }

func (p *Port) unmark(b []byte) { p.marks.Feed(b, p.putRun) }

func (p *Port) putRun(run []byte, bad bool) {
	kind := event.InputBytes
	if bad {
		kind = event.InputBadBytes
	}
	p.Seq.Put(p.Tap, kind, run)
}
