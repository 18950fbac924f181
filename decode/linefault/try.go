package linefault

import (
	"strings"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/uart"
)

// Try is what a port heard of the same line when it was set in another way, and read no bus.
type Try struct {
	Format uart.Format
	Heard  *Listener
}

// After judges the line anew, without what the tries rule out:
//
//   - that the bus is sent as the port was set: it would have been read;
//   - that the line carries the bus as it should be, and the port reads it otherwise than it is
//     set: then a try sounds as the tables say that such a port hears such a bus, or as the port
//     heard before.
//
// It is for after End.
func (l *Listener) After(tries []Try) Finding {
	out := make([]bool, len(tables()))
	for i := range tries {
		tries[i].rulesOut(l.protocol, out)
	}
	var v vote
	for _, s := range l.samples {
		v.add(s.judge(l.protocol.Name, out))
	}
	return v.winner().mean()
}

// rulesOut marks the hypotheses of a protocol that a try rules out, by their places.
func (t *Try) rulesOut(p *bus.Protocol, out []bool) {
	usual := p.Line
	usual.Inverted = false
	list := tables()
	so := t.heardBy(p.Name, t.readsBus(usual))
	for i := range list {
		h := &list[i]
		switch {
		case h.protocol != p.Name:
		case h.detail == "line "+rateOf(t.Format) && t.Format.Parity == usual.Parity:
			out[i] = true
		case so == unlike && h.rightLine() && t.heardBy(p.Name, h.detail) == unlike:
			out[i] = true
		}
	}
}

// rightLine reports a hypothesis of a line that is as it should be, read by a port that is not
// as it was set.
func (h *hypothesis) rightLine() bool {
	return h.cause == Parity || strings.HasPrefix(h.detail, "port ")
}

// readsBus is the detail in the tables of a port that is set as in the try and hears the bus
// as it should be.
func (t *Try) readsBus(usual uart.Format) string {
	odd := usual
	odd.Parity = uart.Odd
	if t.Format == odd {
		return "odd"
	}
	return "port " + t.Format.String()
}

// likeness is how what was heard compares with a prediction.
type likeness uint8

const (
	unknown likeness = iota // there is no prediction, or too little was heard
	alike
	unlike
)

// heardBy compares what was heard with the predictions of a detail. Unlike it is where most
// stretches are explained no better by any of them than None explains them.
func (t *Try) heardBy(protocol, detail string) likeness {
	list, compared, no := tables(), 0, 0
	for _, s := range t.Heard.samples {
		least := unlikely
		for i := range list {
			if h := &list[i]; h.protocol == protocol && h.detail == detail {
				least = min(least, h.cost(&s.features))
			}
		}
		if least == unlikely || s.chars == 0 {
			continue
		}
		compared++
		if least > guessing-noneGains {
			no++
		}
	}
	switch {
	case compared == 0:
		return unknown
	case 2*no > compared:
		return unlike
	}
	return alike
}

func rateOf(f uart.Format) string {
	rate, _, _ := strings.Cut(f.String(), " ")
	return rate
}
