package world

import "time"

const (
	// printedChar is one character at 500 000 baud, 8N1, ns.
	printedChar = int64(20 * time.Microsecond)
	// printsAfter is how long a board thinks about a line (an assumption).
	printsAfter = int64(30 * time.Microsecond)
	// printRoom is what a board keeps that is not sent yet, characters (an
	// assumption).
	printRoom = 256
	// pulseLineLen is about what a line on a pulse takes, characters.
	pulseLineLen = 32
)

// printer is a board's serial line, character by character.
type printer struct {
	to    charReceiver
	queue []char
	free  int64 // from when nothing is on the line
}

func (p *printer) full() bool { return len(p.queue)+pulseLineLen > printRoom }

func (p *printer) print(now int64, line []byte) {
	p.free = max(p.free, now+printsAfter)
	for _, b := range line {
		p.free += printedChar
		p.queue = append(p.queue, char{at: p.free, b: b})
	}
}

func (p *printer) due() int64 {
	if len(p.queue) == 0 {
		return Never
	}
	return p.queue[0].at
}

func (p *printer) act() {
	c := p.queue[0]
	p.queue = p.queue[1:]
	p.to.receive(c)
}
