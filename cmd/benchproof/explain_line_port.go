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
	odd := plain
	odd.Parity = uart.Odd
	list := []uart.Format{odd}
	for _, baud := range []int64{2 * plain.Baud, 115_200, 57_600} {
		at := plain
		at.Baud = baud
		list = append(list, at)
	}
	return list
}

// inWords is a setting, with its parity said.
func inWords(f uart.Format) string {
	return fmt.Sprintf("%v (%s parity)", f, [...]string{uart.None: "no", uart.Even: "even", uart.Odd: "odd"}[f.Parity])
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
	heard, err := e.hear(plain)
	if err != nil {
		return err
	}
	found, evidence := heard.End(heard.last)
	try, _ := e.cmd.Flags().GetBool("try")
	switch {
	case found.Healthy():
		printFinding(out, "", found, evidence, e.p)
		return nil
	case try:
		printFault(out, "as it is usually set: "+found.Sentence(), found, evidence, "")
		if err := e.tryOthers(heard, was); err != nil {
			return err
		}
	default:
		printFinding(out, "", found, evidence, e.p)
		if !found.Guessed() && (found.Cause == linefault.Parity || found.Cause == linefault.Rate) {
			printUnder(out, "to be surer: benchproof explain "+e.path+" --try, which sets the port in other ways")
		}
	}
	return fail(exitWrong, errQuiet)
}

func (e *portEar) hear(f uart.Format) (*ear, error) {
	return listenPort(e.cmd.Context(), e.p, e.path, f, e.lasts)
}

// tryOthers tries other settings until a bus can be read with one. Where it can with none, it
// says what is still possible.
func (e *portEar) tryOthers(usually *ear, was string) error {
	talk, out := e.cmd.ErrOrStderr(), e.cmd.OutOrStdout()
	var tries []linefault.Try
	read := false
	for _, f := range otherSettings(e.p) {
		say(talk, "benchproof: trying "+inWords(f))
		heard, err := e.hear(f)
		if err != nil {
			return err
		}
		found, _ := heard.End(heard.last)
		if read = found.Healthy(); read {
			printOther(out, f, e.p.Line)
			break
		}
		tries = append(tries, linefault.Try{Format: f, Heard: heard.Listener})
	}
	if !read {
		printNoneOfThem(out, usually.After(tries), e.p.Line)
	}
	if was == "" {
		say(talk, "benchproof: this system does not say how the port was set before, so it stays as it was tried last")
	} else {
		say(talk, fmt.Sprintf("benchproof: %s is set to %s again, as it was found", e.path, was))
	}
	return nil
}

// printNoneOfThem says what is left where no other setting reads a bus.
func printNoneOfThem(out io.Writer, f linefault.Finding, line uart.Format) {
	fmt.Fprintln(out, text.Wrap("no bus can be read with the other settings, either. Without the causes that this rules out: "+f.Sentence(),
		readingWidth(out), ""))
	if sure := f.HowSure(); sure != "" {
		printUnder(out, "how sure: "+sure)
	}
	printUnder(out, "to do: "+f.Remedy(line))
	if f.Cause == linefault.Rate || f.Or == linefault.Rate {
		printUnder(out, "Another rate is still possible where this adapter can't be set to what it is told: only another adapter shows that.")
	}
	if f.Cause != linefault.Nothing && f.Cause != linefault.Inverted {
		printUnder(out, "An inverted signal can't be tried by a setting: that takes an inverter.")
	}
}

// printOther says what follows where a port reads a bus with other settings than the usual
// ones: that is better than any guess.
func printOther(out io.Writer, f, usual uart.Format) {
	usual.Inverted = false
	fmt.Fprintln(out, text.Wrap(fmt.Sprintf("found: set to %s the port reads a bus. This is heard, not guessed, and holds whatever is said above",
		inWords(f)), readingWidth(out), ""))
	printUnder(out, fmt.Sprintf("to do: look up in the receiver's set-up which bus is chosen for this output. If it is not the usual servo bus, "+
		"which is sent at %s, choose that. If it is, this adapter can't be set so: take another one", inWords(usual)))
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
