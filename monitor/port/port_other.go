//go:build !linux

package port

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"go.bug.st/serial"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
)

// openPort opens a port for reading. Errors of parity and framing are not
// visible on this system.
func openPort(path string, settings uart.Format) (line, error) {
	p, err := openBesideChildren(path, mode(settings))
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	if err := p.SetReadTimeout(pollEvery); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", path, err), p.Close())
	}
	return &otherPort{Port: p, settings: settings}, nil
}

// errorsUnseen is why a character with a parity or framing error looks like any other.
const errorsUnseen = "parity errors can't be seen on this system"

// pollEvery is how often a reader that hears nothing looks whether it is to stop.
const pollEvery = 200 * time.Millisecond

// otherPort lets its reader leave before the port is closed: the library closes
// the descriptor first and wakes the reader then.
type otherPort struct {
	serial.Port
	settings uart.Format
	closing  atomic.Bool
	reading  sync.Mutex
}

func (p *otherPort) read(take func([]byte)) error {
	p.reading.Lock()
	defer p.reading.Unlock()
	buf := make([]byte, readSize)
	for !p.closing.Load() {
		n, err := p.Read(buf)
		if n > 0 {
			take(buf[:n])
		}
		if err != nil {
			return err
		}
	}
	return io.EOF
}

func (p *otherPort) Close() error {
	p.closing.Store(true)
	p.reading.Lock()
	defer p.reading.Unlock()
	return p.Port.Close()
}

func (p *otherPort) port() event.Port {
	f := event.Port{Settings: settingsText(p.settings), Latency: "unknown"}
	if p.settings.Parity != uart.None {
		f.Errors = errorsUnseen
	}
	return f
}

func (p *otherPort) marked() bool               { return false }
func (p *otherPort) counters() (Counters, bool) { return Counters{}, false }

// stableName: names of this system don't change with the order of plugging.
func stableName(path string) string { return path }

// holdersOf can't be seen on this system.
func holdersOf(string) []Holder { return nil }

func admission(path string) string {
	return fmt.Sprintf("see who owns %s and may read and write it", path)
}
