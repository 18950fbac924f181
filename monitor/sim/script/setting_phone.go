package script

import "benchproof.example/monitor/sim/world"

// phone reads a phone that lies on the model.
func (p *parser) phone() {
	ph := world.PhonePlan{Name: p.name("the phone's name"), Rate: 60}
	p.refuseTakenTap(ph.Name)
	p.boarded("a phone on the model, which is tilted for its servo leads")
	p.options([]string{"askew", "rate", "gyroscope"}, func(option string) {
		switch option {
		case "askew":
			ph.Askew = 1000 * p.whole("by how many degrees it lies askew", -180, 180)
		case "rate":
			ph.Rate = p.whole("how many attitudes a second", 1, 200)
		case "gyroscope":
			ph.NoGyro = p.oneOf("none", "one") == 0
		}
	})
	if p.mistake == nil && p.script.Phone != nil {
		p.refuse("a second phone", "one phone on the model")
	}
	p.script.Phone = &ph
}
