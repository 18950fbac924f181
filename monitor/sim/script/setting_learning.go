package script

import (
	"time"

	"benchproof.example/monitor/sim/world"
)

// learns reads by which button the receiver learns how far its outputs go.
func (p *parser) learns() {
	p.boarded("learning of limits, which servo leads show")
	p.literal("by")
	l := world.NewLearningPlan(p.channelNumber())
	p.options([]string{"presses", "holds", "sweep", "narrow"}, func(option string) {
		switch option {
		case "presses":
			l.Presses = p.whole("presses that begin it", 1, 9)
		case "holds":
			l.Holds = p.span("how long each is", 10*time.Millisecond, 5*time.Second)
		case "sweep":
			l.Sweep = p.span("how long surfaces go by themselves", 500*time.Millisecond, 20*time.Second)
		case "narrow":
			l.Narrow = p.whole("us to either side", 10, 1000) * us
		}
	})
	p.script.Learning = l
}
