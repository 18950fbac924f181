package world

import "strconv"

// mostInputs is how many servo leads a board may have room for.
const mostInputs = 16

// board reads a capture board on the leads of a receiver.
func (p *parser) board() {
	b := boardPlan{line: p.number, name: p.name("the board's name"), off: crystalOff, inputs: 8}
	p.refuseTakenTap(b.name)
	p.literal("of")
	b.tap = p.tapName()
	if p.mistake == nil && p.script.board.line > 0 {
		p.refuse("a second board", "one board; line "+strconv.Itoa(p.script.board.line)+" has it")
	}
	p.options([]string{"clock", "inputs", "lost", "wrong"}, func(option string) {
		switch option {
		case "clock":
			b.off = []int64{crystalOff, ceramicOff}[p.oneOf("crystal", "ceramic")]
		case "inputs":
			b.inputs = int(p.whole("how many leads it has room for", 1, mostInputs))
		case "lost":
			b.lost = p.share("the share of lines that never arrive", 0, 1)
		case "wrong":
			b.wrong = p.share("the share of lines with a wrong character", 0, 1)
		}
	})
	p.script.board = b
}

// boarded refuses what needs a board where there is none.
func (p *parser) boarded(found string) {
	if p.mistake == nil && p.script.board.line == 0 {
		p.refuse(found, `a setting such as "board leads of main" first`)
	}
}
