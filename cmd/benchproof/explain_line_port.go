package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/unit"
)

// otherSettings are the ways in which --try sets a port.
func otherSettings(p *bus.Protocol) []uart.Format {
	plain := p.Line
	plain.Inverted = false
	odd, fast := plain, plain
	odd.Parity, fast.Baud = uart.Odd, 2*plain.Baud
	return []uart.Format{odd, fast, {Baud: 115_200, Data: 8, Stop: 1}, {Baud: 57_600, Data: 8, Stop: 1}}
}

// portEar listens to a port, in one way after the other.
type portEar struct {
	cmd   *cobra.Command
	p     *bus.Protocol
	path  string
	lasts unit.Duration
}

// explainPort listens to a port as watch does. With --try it goes on with other settings,
// and ends with the first ones.
func explainPort(cmd *cobra.Command, p *bus.Protocol, path string) error {
	lasts, _ := cmd.Flags().GetDuration("for")
	if lasts < time.Second {
		return fail(exitUsage, fmt.Errorf("got --for %v, want 1s or more", lasts))
	}
	e := portEar{cmd: cmd, p: p, path: path, lasts: unit.Duration(lasts)}
	plain := p.Line
	plain.Inverted = false
	say(cmd.ErrOrStderr(), fmt.Sprintf("benchproof: listening to %s at %v for %v; nothing is written to it", path, plain, lasts))
	found, evidence, err := e.hear(plain, e.lasts)
	if err != nil {
		return err
	}
	printFinding(cmd.OutOrStdout(), "", found, evidence, p)
	if found.Cause == linefault.Healthy {
		return nil
	}
	if try, _ := cmd.Flags().GetBool("try"); try {
		if err := e.tryOthers(plain); err != nil {
			return err
		}
	}
	return fail(exitWrong, errQuiet)
}

func (e *portEar) hear(f uart.Format, lasts unit.Duration) (linefault.Finding, []string, error) {
	heard, err := listenPort(e.cmd.Context(), e.p, e.path, f, lasts)
	if err != nil {
		return linefault.Finding{}, nil, err
	}
	found, evidence := heard.End(heard.last)
	return found, evidence, nil
}

// tryOthers says with which other settings a bus can be read, and puts back the first ones.
func (e *portEar) tryOthers(first uart.Format) error {
	talk := e.cmd.ErrOrStderr()
	none := true
	for _, f := range otherSettings(e.p) {
		say(talk, fmt.Sprintf("benchproof: trying %v", f))
		found, _, err := e.hear(f, e.lasts)
		if err != nil {
			return err
		}
		if found.Cause == linefault.Healthy {
			none = false
			fmt.Fprintf(e.cmd.OutOrStdout(), "set to %v the port reads a healthy bus\n", f)
		}
	}
	if none {
		fmt.Fprintln(e.cmd.OutOrStdout(), "with none of the other settings that were tried a bus can be read")
	}
	_, _, err := e.hear(first, 0)
	say(talk, fmt.Sprintf("benchproof: %s is set to %v again", e.path, first))
	return err
}

// listenPort opens a port and listens for a time.
func listenPort(ctx context.Context, p *bus.Protocol, path string, f uart.Format, lasts unit.Duration) (*ear, error) {
	const openSoon = 300 * unit.Millisecond // what opening takes
	hearing, enough := context.WithTimeout(ctx, time.Duration(lasts+openSoon))
	defer enough()
	seq := port.NewSequencer(port.Clock, 0, 0)
	(&port.Port{Tap: 1, Path: path, Settings: f, Seq: seq}).Run(hearing)
	seq.Close(event.InputEnd)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	var e *ear
	for {
		b, ended := seq.Take(port.Judge)
		if b == nil && ended {
			break
		}
		for i := range b.Len() {
			in := b.Input(i)
			switch in.Kind {
			case event.InputTapUp:
				e = &ear{Listener: linefault.NewListener(p, int64(in.At))}
			case event.InputTapDown:
				return nil, fail(exitDevice, errors.New(string(in.Data)+held(path)))
			}
			if e != nil {
				e.take(&in)
			}
		}
	}
	if e == nil {
		return nil, fail(exitDevice, fmt.Errorf("%s could not be opened", path))
	}
	return e, nil
}

// held says whom to ask about a port that another program listens to, "" where none does.
func held(path string) string {
	list, _ := port.List()
	for i := range list {
		if l := &list[i]; (l.Port == path || l.Device == path) && len(l.HeldBy) > 0 {
			return "; if it is a benchproof, that says why nothing can be read: in its terminal, its timeline and its health"
		}
	}
	return ""
}
