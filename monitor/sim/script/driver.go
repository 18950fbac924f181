package script

import (
	"context"
	"fmt"
	"time"

	"benchproof.example/monitor/sim/world"
)

// Driver is a simulated bench whose hands are told what to do while it plays, in
// lines of a script without their times.
type Driver struct {
	*world.Sim
	script *Script
	lines  int // how many Say was given
}

// Drive sets up the bench of a script, with what its steps do, to be driven on.
func Drive(s *Script, seed uint64) *Driver {
	return &Driver{Sim: world.New(&s.Plan, seed), script: s}
}

// Say puts a step at a moment, ns since the start, after those that stand there
// already: a line of a script without its time, such as "stick aileron 988 over
// 500ms". An "end" ends the script there. See Sim.Do.
//
// The error says that the moment is past, or after the end; or it wraps a
// *Mistake whose Line counts the calls. After an error nothing has changed.
func (d *Driver) Say(at int64, line string) error {
	d.lines++
	if err := d.do(at, line); err != nil {
		return fmt.Errorf("do %q at %v: %w", line, time.Duration(at), err)
	}
	return nil
}

func (d *Driver) do(at int64, line string) error {
	p := &parser{line: lineOf("driven", d.lines, line), script: d.script}
	do := p.action()
	p.done()
	switch {
	case p.mistake != nil:
		return p.mistake
	case p.ended:
		return d.EndAt(at)
	}
	return d.Do(at, do)
}

// PlayOrders is PlayDriven for lines that come from a channel: what is ordered is done
// within a few milliseconds.
func PlayOrders(ctx context.Context, d *Driver, ends []world.Sink, clock world.Clock, orders <-chan string) error {
	return world.PlayDriven(ctx, d.Sim, ends, clock, func(at int64) error {
		for {
			select {
			case line := <-orders:
				if err := d.Say(at, line); err != nil {
					return err
				}
			default:
				return nil
			}
		}
	})
}
