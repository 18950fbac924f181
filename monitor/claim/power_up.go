package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of a receiver switched on alone.
const (
	beginsAtCut     = "switched on without its transmitter, the receiver leaves %s at cut, %s"
	notSwitchedOff  = "the bus did not fall silent, so the receiver was not switched off: cut its supply in the drill"
	busStayedSilent = "the receiver sent nothing on the bus; whether the motor stays dead is for the eye, or for the " +
		"servo leads"
	transmitterPerhapsOn = "no frame was flagged: whether the transmitter was really off is not on the bus; what was " +
		"seen can't be told from a transmitter that is on"
	beganAboveCut = "switched on without its transmitter, the receiver sent %s for %s, %s above cut: set its failsafe, " +
		"which is what it begins with, to cut"
	beganAtCut = "switched on without its transmitter, the receiver left %s at %s"
)

// powerUp judges that a receiver which is switched on without its transmitter
// leaves the throttle at cut (common practice: the motor must stay dead).
type powerUp struct{ channel *sheet.Channel }

func newPowerUp(b *Book, c *sheet.Channel) *powerUp {
	b.add(FamilyPowerUp.ofChannel(c), fmt.Sprintf(beginsAtCut, c.Name, unit.FormatWidth(cutOf(c))),
		Action{Do: DoPowerUp, Drill: drill.PowerUp}, TopicFailsafe, c.Name)
	return &powerUp{c}
}

// cutOf is where a throttle is cut: its least demanding place.
func cutOf(c *sheet.Channel) unit.Width {
	cut, _ := c.Place("cut")
	return cut.Width
}

func (p *powerUp) see(e *event.Event, b *Book) {
	d, ok := e.Data.(event.PowerUpData)
	if !ok {
		return
	}
	id, name := FamilyPowerUp.ID(p.channel.Name), p.channel.Name
	switch {
	case !d.Off:
		b.unclear(id, notSwitchedOff)
		return
	case d.Frames == 0:
		b.unclear(id, busStayedSilent)
		return
	case len(d.Channels) == 0:
		b.unclear(id, transmitterPerhapsOn)
		return
	}
	r := d.Channels[p.channel.Number-1]
	span := event.Span{From: e.From, To: e.At}
	figures := map[string]int64{"least_ns": int64(r.LeastNS), "most_ns": int64(r.MostNS)}
	full, _ := p.channel.Place("full")
	worst, over := r.MostNS, r.MostNS-cutOf(p.channel)
	if full.Width < cutOf(p.channel) {
		worst, over = r.LeastNS, cutOf(p.channel)-r.LeastNS
	}
	if over > b.sheet.Tolerance.Preset {
		b.wrong(id, fmt.Sprintf(beganAboveCut, unit.FormatWidth(worst), name, unit.FormatWidth(over)), span, figures)
		return
	}
	b.right(id, fmt.Sprintf(beganAtCut, name, unit.FormatWidth(worst)), span, figures)
}
