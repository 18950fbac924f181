// Package badline is a simulated port on whose line nothing can be read: a fault of the wiring
// or of a setting, to try the search for it on. The line is made edge by edge, and a serial
// input reads it as its listener has set the port, so that other settings can be tried.
//
// It plays; what it sounds like, it leaves to who listens.
package badline

import (
	"math/rand/v2"

	"benchproof.example/decode/linesim"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/uart"
)

const (
	ms     = int64(1_000_000) // ns
	prompt = 2 * ms           // how often an adapter hands over
)

// Fault is one that can be played.
type Fault struct {
	Name  string
	About string // in plain words
	line  func(rng *rand.Rand, end int64) (linesim.Line, error)
	hands int64 // how often the adapter hands over, ns
}

// Faults are all, in the order in which they are offered.
func Faults() []Fault {
	return []Fault{
		{"not-inverted", "the inverter is missing, or there is one too many", busAs(func(f *uart.Format) { f.Inverted = true }), prompt},
		{"parity", "the bus is sent with odd parity", busAs(func(f *uart.Format) { f.Parity = uart.Odd }), prompt},
		{"rate", "the bus is sent at twice the rate", busAs(func(f *uart.Format) { f.Baud *= 2 }), prompt},
		{"telemetry", "the wire carries telemetry, a text at 57 600 8N1", telemetry, prompt},
		{"servo-pulses", "the wire is on a servo output", always(linesim.Pulses), prompt},
		{"no-contact", "nothing drives the wire, and it picks up noise", noise, prompt},
		{"no-ground", "the ground is not joined, and the wire follows the mains at 50 Hz", mains, prompt},
		{"nothing", "the receiver is off", always(func(_ *rand.Rand, end int64) linesim.Line { return linesim.Line{End: end} }), prompt},
		{"late", "the bus is healthy, but is handed over in batches of 0.3 s", busAs(func(*uart.Format) {}), 300 * ms},
	}
}

// Named finds a fault by its name.
func Named(name string) (Fault, bool) {
	for _, f := range Faults() {
		if f.Name == name {
			return f, true
		}
	}
	return Fault{}, false
}

type sender = func(rng *rand.Rand, end int64) (linesim.Line, error)

// wanted is how a port reads a healthy bus, behind the inverter that it needs.
func wanted() uart.Format {
	p, _ := protocols.Find("")
	f := p.Line
	f.Inverted = false
	return f
}

func busAs(change func(*uart.Format)) sender {
	return func(rng *rand.Rand, end int64) (linesim.Line, error) {
		p, _ := protocols.Find("")
		f := wanted()
		change(&f)
		return linesim.Bus(p, f, rng, end)
	}
}

func telemetry(rng *rand.Rand, end int64) (linesim.Line, error) {
	return linesim.Text(uart.Format{Baud: 57_600, Data: 8, Stop: 1}, rng, end)
}

func always(line func(*rand.Rand, int64) linesim.Line) sender {
	return func(rng *rand.Rand, end int64) (linesim.Line, error) { return line(rng, end), nil }
}

var (
	noise = always(func(rng *rand.Rand, end int64) linesim.Line { return linesim.Noise(20_000, rng, end) })
	mains = always(func(rng *rand.Rand, end int64) linesim.Line { return linesim.Mains(50, rng, end) })
)
