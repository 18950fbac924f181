package tap

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"
	"time"

	"go.bug.st/serial"

	"benchproof.example/monitor/fact"
)

// Settings of the line, as the servo bus wants them (common practice). The
// inversion is the adapter's work.
var busMode = serial.Mode{BaudRate: 100_000, DataBits: 8, Parity: serial.EvenParity, StopBits: serial.TwoStopBits}

const busSettings = "100000 8E2"

// retry is how long a port that could not be opened is left alone.
const retry = 250 * time.Millisecond

// Port is a serial port that a bus comes in through. It may be missing, vanish
// and come back: each is a dated input, never an exit.
type Port struct {
	Tap  uint8
	Path string
	Seq  *Sequencer

	// Open opens what is behind Path; nil: a serial port.
	Open func(path string) (io.ReadCloser, error)

	said string
}

// Run opens the port, reads it and opens it again, until ctx is done. It only
// listens: nothing is ever written to the port.
func (p *Port) Run(ctx context.Context) {
	open := p.Open
	if open == nil {
		open = openPort
	}
	for ctx.Err() == nil {
		r, err := open(p.Path)
		if err != nil {
			p.down(Explain(p.Path, err))
		} else {
			p.up()
			err = p.read(ctx, r)
			if ctx.Err() != nil {
				return
			}
			p.down(fmt.Sprintf("%s went away (%v): plug it in again, it is reopened by itself", p.Path, err))
		}
		select {
		case <-ctx.Done():
		case <-time.After(retry):
		}
	}
}

func (p *Port) up() {
	p.said = ""
	data, _ := json.Marshal(fact.Port{Port: p.Path, Settings: busSettings})
	p.Seq.Put(p.Tap, fact.TapUp, data)
}

// down says why the port is not read, once for each reason.
func (p *Port) down(why string) {
	if why != p.said {
		p.said = why
		p.Seq.Put(p.Tap, fact.TapDown, []byte(why))
	}
}

// read puts what comes until the port fails or ctx is done. The port is closed
// when it returns.
func (p *Port) read(ctx context.Context, r io.ReadCloser) error {
	stop := context.AfterFunc(ctx, func() { _ = r.Close() })
	defer func() {
		if stop() {
			_ = r.Close()
		}
	}()
	buf := make([]byte, 4096)
	for {
		n, err := r.Read(buf)
		if n > 0 {
			p.Seq.Put(p.Tap, fact.Bytes, buf[:n])
		}
		if err != nil {
			return err
		}
	}
}

// Explain says in a sentence why a port could not be opened, and what to do.
func Explain(path string, err error) string {
	var trouble *serial.PortError
	code := serial.PortErrorCode(-1)
	if errors.As(err, &trouble) {
		code = trouble.Code()
	}
	switch {
	case errors.Is(err, fs.ErrNotExist) || code == serial.PortNotFound:
		return fmt.Sprintf("there is no port %s: plug the adapter in, or name another port; it is tried again by itself", path)
	case errors.Is(err, fs.ErrPermission) || code == serial.PermissionDenied:
		return fmt.Sprintf("you may not open %s: join the group that owns it (see ls -l %s) and log in anew; never run as root", path, path)
	case errors.Is(err, syscall.EBUSY) || code == serial.PortBusy:
		return fmt.Sprintf("another program holds %s: close that program; it is tried again by itself", path)
	case code == serial.InvalidSerialPort:
		return fmt.Sprintf("%s is not a serial port: name the adapter's port instead", path)
	}
	return fmt.Sprintf("%s could not be opened (%v): check the adapter and its cable; it is tried again by itself", path, err)
}
