package world

import (
	"math/rand/v2"
	"time"

	"benchproof.example/decode/pulse"
)

// BoardPlan is a capture board on the servo leads of a receiver.
type BoardPlan struct {
	Name     string
	Receiver int     // the receiver
	ClockOff int64   // how wrong its clock may be, parts per billion
	Inputs   int     // leads that it has room for
	Lost     float64 // lines that never arrive
	Wrong    float64 // lines with a wrong character
	Clump    int64   // ns, 0: none
}

// NewBoardPlan is a board with a crystal and room for eight leads, on the first receiver.
func NewBoardPlan(name string) BoardPlan {
	return BoardPlan{Name: name, ClockOff: CrystalOff, Inputs: 8}
}

// A crystal on a small board, and the ceramic resonator that some have (from
// memory), parts per billion.
const (
	CrystalOff = int64(100_000)
	CeramicOff = int64(5_000_000)
)

const (
	boardTick = int64(500) // ns
	tickSpace = int64(1) << 32
	// boardInfoEvery is the time between lines about the board itself.
	boardInfoEvery = int64(time.Second)
	// A board that is given power works after a time from wakesFrom to wakesTo
	// (an assumption).
	wakesFrom = int64(20 * time.Millisecond)
	wakesTo   = int64(120 * time.Millisecond)
	// nearWrap is how soon the clocks of some boards wrap, ns.
	nearWrap = int64(40 * time.Second)
)

// board dates the pulses by its own clock and prints a line for each. It ran
// before the plan began, so its clock and numbers stand anywhere.
type board struct {
	*intake
	bench   *Plan
	plan    *BoardPlan
	rng     *rand.Rand
	printer *printer

	off     int64 // how fast its clock is, parts per billion
	began   int64 // from when it works
	origin  int64 // what its clock shows there, ticks
	seq     uint16
	dropped int64 // pulses
	next    int64 // line about itself
}

func newBoard(s *Plan, streams streams, l *truthLog) *board {
	plan := s.Board
	kind := adapterKind{clump: plan.Clump, burst: pulseLineLen, char: printedChar}
	b := &board{intake: newIntake(len(s.Receivers), plan.Name, l, kind, streams), bench: s, plan: plan, rng: streams.of("board " + plan.Name)}
	b.printer = &printer{to: b.socket}
	b.off = b.rng.Int64N(2*plan.ClockOff+1) - plan.ClockOff
	b.began = b.rng.Int64N(wakesTo)
	b.next = b.began
	b.origin = b.rng.Int64N(tickSpace)
	if b.rng.IntN(3) == 0 {
		b.origin = tickSpace - 1 - b.rng.Int64N(nearWrap/boardTick)
	}
	b.seq = uint16(b.rng.Uint32())
	return b
}

// restart has it begin anew: its clock, its numbers, and what it was printing.
func (b *board) restart(now int64) {
	b.printer.queue = nil
	b.began = now + wakesFrom + b.rng.Int64N(wakesTo-wakesFrom)
	b.next = b.began
	b.origin, b.seq, b.dropped = 0, 0, 0
	b.truths.note(now, "board", b.name, "restarted")
}

// plug gives it power, or takes it: the computer feeds it.
func (b *board) plug(now int64, on bool) {
	if on && !b.socket.in {
		b.restart(now)
	}
	b.intake.plug(now, on)
}

// ticks is what its clock shows at a moment.
func (b *board) ticks(now int64) uint32 {
	since := now - b.began
	since += since/million*b.off/1000 + since%million*b.off/billion
	return uint32(b.origin + since/boardTick)
}

func (b *board) due() int64 { return within(b.bench, b.next) }

// act describes the board itself.
func (b *board) act() {
	now := b.next
	b.next += boardInfoEvery - b.off
	b.printer.print(now, pulse.AppendInfo(nil, &pulse.BoardInfo{Name: b.name, Tick: boardTick, Outputs: b.plan.Inputs, Dropped: b.dropped}))
}

// see has a pulse that has just fallen.
func (b *board) see(p *Pulse) {
	now := p.fall()
	switch {
	case p.Rise < b.began || p.Output > b.plan.Inputs:
		return
	case b.printer.full():
		b.dropped++
		b.seq++ // a number that is lacking shows where
		b.truths.note(now, "board", b.name, "dropped")
		return
	}
	rise, fall := b.ticks(p.Rise), b.ticks(now)
	line := pulse.AppendPulse(nil, b.seq, p.Output, rise, fall-rise)
	b.seq++
	switch {
	case chance(b.rng, b.plan.Lost):
		b.truths.note(now, "line", b.name, "lost")
		return
	case chance(b.rng, b.plan.Wrong):
		b.truths.note(now, "line", b.name, "wrong")
		line[b.rng.IntN(len(line))] ^= 1 << b.rng.IntN(7)
	}
	b.printer.print(now, line)
}
