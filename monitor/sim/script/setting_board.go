package script

import (
	"strconv"

	"benchproof.example/monitor/sim/world"
)

// mostInputs is how many servo leads a board may have room for.
const mostInputs = 16

// board reads a capture board on the leads of a receiver.
func (p *parser) board() {
	b := world.NewBoardPlan(p.name("the board's name"))
	p.refuseTakenTap(b.Name)
	p.literal("of")
	b.Receiver = p.tapName()
	if p.mistake == nil && p.script.Board != nil {
		p.refuse("a second board", "one board; line "+strconv.Itoa(p.boardLine)+" has it")
	}
	p.options([]string{"clock", "inputs", "lost", "wrong"}, func(option string) {
		switch option {
		case "clock":
			b.ClockOff = []int64{world.CrystalOff, world.CeramicOff}[p.oneOf("crystal", "ceramic")]
		case "inputs":
			b.Inputs = int(p.whole("how many leads it has room for", 1, mostInputs))
		case "lost":
			b.Lost = p.share("the share of lines that never arrive", 0, 1)
		case "wrong":
			b.Wrong = p.share("the share of lines with a wrong character", 0, 1)
		}
	})
	p.script.Board, p.boardLine = &b, p.number
}

// boarded refuses what needs a board where there is none.
func (p *parser) boarded(found string) {
	if p.mistake == nil && p.script.Board == nil {
		p.refuse(found, `a setting such as "board leads of main" first`)
	}
}
