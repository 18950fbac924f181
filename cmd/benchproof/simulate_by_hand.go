package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// playByHand has a bench simulated whose hands do what is typed, a move or a line of a script
// without its time each, until ctx is done or "end" is typed. Its ports stay plugged in.
func playByHand(ctx context.Context, scripted *script.Script, seed uint64, ends []world.Sink, in io.Reader, talk io.Writer) error {
	say(talk, "benchproof: the transmitter is on. Type here what its hands do, Enter behind each; ? shows this again:")
	sayMoves(scripted, talk)
	bench := script.Drive(scripted.Bench(), seed)
	if err := bench.Say(0, "signal on"); err != nil {
		return fail(exitFault, err)
	}
	typed := readLines(in, ctx.Done())
	err := world.PlayDriven(ctx, bench.Sim, ends, world.RealTime{}, func(at int64) error {
		select {
		case line, more := <-typed:
			if !more {
				typed = nil // nobody types any more; the bench stands
			}
			if line = strings.TrimSpace(line); line == "?" {
				sayMoves(scripted, talk)
			} else {
				obey(bench, &scripted.Plan, at, line, talk)
			}
		default:
		}
		return nil
	})
	if ctx.Err() != nil {
		return fail(exitInterrupted, errQuiet)
	}
	return fail(exitFault, err)
}

// obey does what was typed, or says what is wrong with it: then nothing has changed.
func obey(bench *script.Driver, plan *world.Plan, at int64, line string, talk io.Writer) {
	if line == "" {
		return
	}
	move := moveOf(plan, line)
	if move == nil {
		move = []moveStep{{0, line}}
	}
	err := makeMove(bench, at, move)
	var mistake *script.Mistake
	switch {
	case errors.As(err, &mistake):
		say(talk, fmt.Sprintf("benchproof: found %s, want %s", mistake.Found, mistake.Want))
	case err != nil:
		say(talk, fmt.Sprintf("benchproof: %v", err))
	}
}

// sayMoves lists what may be typed.
func sayMoves(scripted *script.Script, talk io.Writer) {
	for _, line := range movesOf(&scripted.Plan) {
		sayBehind(talk, "  ", line)
	}
	cut := ""
	if scripted.Cutoff != nil {
		cut = "cut on, cut off, "
	}
	sayBehind(talk, "  ", cut+"signal off, signal on, and all other steps of a script, such as: stick "+scripted.Channels[0].Name+" 1600 over 500ms; end")
}
