package world

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"benchproof.example/decode/uart"
)

// ErrNoPTY says that this system lends no pseudo-terminals.
var ErrNoPTY = errors.New("no pseudo-terminals on this system")

// PTYs are pseudo-terminals that stand in for serial ports. A port that is
// unplugged closes; plugged in again it is another pseudo-terminal under the
// same stable name. Bad characters arrive unmarked: a pseudo-terminal carries
// no parity.
type PTYs struct {
	folder string
	ports  []*port
}

// OpenPTYs opens n ports, plugged in. The error is ErrNoPTY, wrapped, where the
// system lends none.
func OpenPTYs(n int) (*PTYs, error) {
	folder, err := os.MkdirTemp("", "standin-")
	if err != nil {
		return nil, fmt.Errorf("a folder for the ports: %w", err)
	}
	p := &PTYs{folder: folder}
	for i := range n {
		e := &port{path: filepath.Join(folder, "port-"+strconv.Itoa(i))}
		if err := e.plug(); err != nil {
			return nil, errors.Join(err, p.Close())
		}
		p.ports = append(p.ports, e)
	}
	return p, nil
}

// Paths are the stable names of the ports, for a listener to open.
func (p *PTYs) Paths() []string {
	paths := make([]string, len(p.ports))
	for i, e := range p.ports {
		paths[i] = e.path
	}
	return paths
}

// Ends are the far ends of the ports, for Play. They belong to one goroutine.
func (p *PTYs) Ends() []Sink {
	ends := make([]Sink, len(p.ports))
	for i, e := range p.ports {
		ends[i] = e
	}
	return ends
}

// Taken is how many bytes each port took so far, since it is open: those that a listener could
// read. Not beside a play in another goroutine.
func (p *PTYs) Taken() []int64 {
	taken := make([]int64, len(p.ports))
	for i, e := range p.ports {
		taken[i] = e.taken
	}
	return taken
}

// Listener is how the listener on a port has set it, false where nobody listens or that can't
// be seen.
func (p *PTYs) Listener(n int) (uart.Format, bool) {
	if p.ports[n].master == nil {
		return uart.Format{}, false
	}
	return listenersFormat(p.ports[n].master)
}

// Close unplugs every port and removes the names. Not during a play.
func (p *PTYs) Close() error {
	var all []error
	for _, e := range p.ports {
		all = append(all, e.unplug())
	}
	return errors.Join(append(all, os.RemoveAll(p.folder))...)
}

// port is one pseudo-terminal; master is nil while it is unplugged.
type port struct {
	path   string
	master *os.File
	taken  int64 // bytes
}

// Deliver writes, closes or reopens. What nobody reads is lost.
func (e *port) Deliver(d Delivery) error {
	switch {
	case d.Kind == Unplugged:
		return e.unplug()
	case d.Kind == Plugged:
		return e.plug()
	case e.master == nil:
		return nil
	}
	n, err := offer(e.master, d.Data)
	e.taken += int64(n)
	return err
}

// plug opens a pseudo-terminal and points the stable name at it in one move,
// so that nobody sees half a name.
func (e *port) plug() error {
	if e.master != nil {
		return nil
	}
	master, path, err := openRaw()
	if err != nil {
		return err
	}
	fresh := e.path + ".new"
	if err := os.Symlink(path, fresh); err != nil {
		return errors.Join(err, master.Close())
	}
	if err := os.Rename(fresh, e.path); err != nil {
		return errors.Join(err, master.Close())
	}
	e.master = master
	return nil
}

func (e *port) unplug() error {
	if e.master == nil {
		return nil
	}
	err := errors.Join(os.Remove(e.path), e.master.Close())
	e.master = nil
	return err
}
