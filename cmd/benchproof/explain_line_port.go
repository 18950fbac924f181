package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/text"
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

// explainPort asks the session that listens to a port, or listens to it as watch does. With
// --try it goes on with other settings. It ends with the settings that it found.
func explainPort(cmd *cobra.Command, p *bus.Protocol, path string) (err error) {
	lasts, _ := cmd.Flags().GetDuration("for")
	if lasts < time.Second {
		return fail(exitUsage, fmt.Errorf("got --for %v, want 1s or more", lasts))
	}
	if asked, err := askListening(cmd, path, lasts); asked || err != nil {
		return err
	}
	e := portEar{cmd: cmd, p: p, path: path, lasts: unit.Duration(lasts)}
	was := port.Remember(path)
	defer func() {
		if failed := was.PutBack(); err == nil || errors.Is(err, errQuiet) {
			err = errors.Join(fail(exitDevice, failed), err)
		}
	}()
	return e.explain(was.String())
}

// explain says what is heard, and with --try what is with other settings. was is how the
// port was found, "" where that can't be known.
func (e *portEar) explain(was string) error {
	plain := e.p.Line
	plain.Inverted = false
	talk, out := e.cmd.ErrOrStderr(), e.cmd.OutOrStdout()
	say(talk, fmt.Sprintf("benchproof: listening to %s at %v for %v; nothing is written to it", e.path, plain, time.Duration(e.lasts)))
	found, evidence, err := e.hear(plain)
	if err != nil {
		return err
	}
	printFinding(out, "", found, evidence, e.p)
	if found.Cause == linefault.Healthy {
		return nil
	}
	switch try, _ := e.cmd.Flags().GetBool("try"); {
	case try:
		if err := e.tryOthers(plain, was); err != nil {
			return err
		}
	case mayBeSettings(found):
		fmt.Fprintln(out, text.Wrap("to know more: benchproof explain "+e.path+" --try, which sets the port in other ways", readingWidth(out), "  "))
	}
	return fail(exitWrong, errQuiet)
}

// mayBeSettings reports that other settings may read a bus: it is not sure what it is, or
// that is parity or rate.
func mayBeSettings(f linefault.Finding) bool {
	return f.Guessed() || f.Cause == linefault.Parity || f.Cause == linefault.Rate
}

func (e *portEar) hear(f uart.Format) (linefault.Finding, []string, error) {
	heard, err := listenPort(e.cmd.Context(), e.p, e.path, f, e.lasts)
	if err != nil {
		return linefault.Finding{}, nil, err
	}
	found, evidence := heard.End(heard.last)
	return found, evidence, nil
}

// tryOthers says with which other settings a bus can be read.
func (e *portEar) tryOthers(usual uart.Format, was string) error {
	talk, out := e.cmd.ErrOrStderr(), e.cmd.OutOrStdout()
	none := true
	for _, f := range otherSettings(e.p) {
		say(talk, fmt.Sprintf("benchproof: trying %v", f))
		found, _, err := e.hear(f)
		if err != nil {
			return err
		}
		if found.Cause == linefault.Healthy || found.Cause == linefault.Clumps {
			none = false
			printOther(out, f, usual)
		}
	}
	if none {
		fmt.Fprintln(out, "with none of the other settings that were tried a bus can be read")
	}
	if was == "" {
		say(talk, "benchproof: this system does not say how the port was set before, so it stays as it was tried last")
	} else {
		say(talk, fmt.Sprintf("benchproof: %s is set to %s again, as it was found", e.path, was))
	}
	return nil
}

// printOther says what follows where a port reads a bus with other settings than the usual
// ones: that is better than any guess.
func printOther(out io.Writer, f, usual uart.Format) {
	fmt.Fprintln(out, text.Wrap(fmt.Sprintf("this is it, whatever was thought before: set to %v the port reads a healthy bus, so the bus is sent that way, "+
		"or this adapter can't be set as it should be", f), readingWidth(out), ""))
	fmt.Fprintln(out, text.Wrap(fmt.Sprintf("to do: choose the usual servo bus for this output in the receiver's set-up, which is sent at %v; "+
		"where it is chosen, take another adapter", usual), readingWidth(out), "  "))
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

// held says how to ask the session that listens to a port, "" where none does.
func held(path string) string {
	list, _ := port.List()
	for i := range list {
		if l := &list[i]; (l.Port == path || l.Device == path) && len(l.HeldBy) > 0 {
			return "; if it is a benchproof, name the folder of its session with --session, and it is asked"
		}
	}
	return ""
}
