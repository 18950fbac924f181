package drill

import (
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the prompts of the power-up drill say.
const (
	switchBothOff    = "switch the transmitter off and cut the receiver's supply; press Enter when both are off"
	switchReceiverOn = "switch the receiver on, the transmitter stays off; it is watched for ten seconds"
	switchOnAgain    = "The transmitter is still off: switch it on, throttle at idle, before you go on."
)

// watchPowerUp is how long a receiver that was just switched on is watched.
const watchPowerUp = 10 * unit.Second

// PowerUp is the name of the drill that powerUpPlan makes.
const PowerUp = "power-up"

// powerUpPlan switches the receiver on without its transmitter: the motor must stay
// dead (common practice). Its prompts are "power-up/off" and "power-up/on".
func powerUpPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     PowerUp,
		Purpose:  "what the receiver sends when it is switched on while the transmitter is off",
		Cautions: cautions(cantStop),
		Unpowers: true,
		Then:     switchOnAgain,
	}
	if len(ofKind(s, sheet.Throttle)) == 0 {
		return p
	}
	p.Prompts = []Prompt{
		{ID: PowerUp + "/off", Text: switchBothOff, Asks: Ask{Act: ActOff}},
		{ID: PowerUp + "/on", Text: switchReceiverOn, Asks: Ask{Act: ActOn}, Until: Condition{After: watchPowerUp},
			Early: "what the receiver sends later is not seen"},
	}
	return p
}
