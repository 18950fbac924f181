package port

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"
	"time"

	"go.bug.st/serial"

	"benchproof.example/decode/protocols"
	"benchproof.example/decode/uart"
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

// Run opens the port, reads it and opens it again, until ctx is done. It only
// listens: nothing is ever written to the port.
func (p *Port) Run(ctx context.Context) {
	p.name = p.Path
	if p.Settings == (uart.Format{}) {
		first, _ := protocols.Find("")
		p.Settings = first.Line
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
			p.away = true
		case !p.mayPass(err) && !(p.away && isMissing(err)):
			p.down(Explain(p.name, err))
			p.away = false
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
	var trouble *fs.PathError
	switch {
	case errors.As(err, &trouble): // its name is said already
		why = fmt.Sprintf(" (%v)", trouble.Err)
	case !errors.Is(err, io.EOF):
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

func isMissing(err error) bool {
	var trouble *serial.PortError
	return errors.Is(err, fs.ErrNotExist) || errors.As(err, &trouble) && trouble.Code() == serial.PortNotFound
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
