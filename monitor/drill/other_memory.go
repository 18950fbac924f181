package drill

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// OtherMemory is the name of the drill that otherMemoryPlan makes.
const OtherMemory = "other-memory"

// What the prompts of the drill of another model memory say.
const (
	restAtCut    = "throttle at cut, its cut on where there is one; let go of all sticks"
	restNoMotor  = "let go of all sticks"
	selectOther  = "select another model's memory in the transmitter, do what it warns about, and type the name that it shows now"
	waitForIt    = "touch nothing: presets may come seconds late"
	tryIt        = "move every stick to its stops%s, and flip every switch, until the next prompt: nothing of the model may move"
	throttleLast = ", the throttle last"
	selectOwn    = "everything home%s; then select this model's memory again, and press Enter once the transmitter shows it"
	atCut        = ", throttle at cut"
	itAnswers    = ": this model is to answer again"
)

const otherRuns = "Another model's memory may start the motor at once, turn surfaces round and drive them to their stops, with nothing of this " +
	"model's set-up in the way: throttle cut, presets and learned limits may be other ones there."

// How long the receiver is left alone before sticks are moved under another memory, and then tried: presets may
// come five seconds late, and hands want time for all sticks.
const (
	beforeTrying = event.MaxPresetDelay + 3*unit.Second
	tryFor       = 15 * unit.Second
)

// otherMemoryPlan selects another model's memory in the transmitter, where the sheet says that the receiver refuses
// it: nothing may move (common practice). Its prompts are "other-memory/home", "/select", "/settle", "/try", "/own" and
// "/answers".
func otherMemoryPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     OtherMemory,
		Purpose:  "another model's memory is selected in the transmitter: nothing may move",
		Cautions: append(toTheEnds(s), otherRuns, cantStopOf(s)),
		Memory:   true,
	}
	list := ofKind(s, sheet.Stick)
	if !s.RefusesMemories() || len(list) == 0 {
		return p
	}
	home := fitting(s, restAtCut, restNoMotor)
	try, own := fmt.Sprintf(tryIt, fitting(s, throttleLast, "")), fmt.Sprintf(selectOwn, fitting(s, atCut, ""))
	stick := list[0]
	end := stick.Places[0]
	answers := hold(s, stick, end.Width)
	p.Prompts = []Prompt{
		{ID: OtherMemory + "/home", Text: home, Asks: Ask{Act: ActLetGo}},
		{ID: OtherMemory + "/select", Text: selectOther, Asks: Ask{Act: ActSelect}, Until: Condition{Told: true}},
		{ID: OtherMemory + "/settle", Text: waitForIt, Asks: Ask{Act: ActSettle}, Until: Condition{After: beforeTrying, Hold: true}},
		{ID: OtherMemory + "/try", Text: try, Asks: Ask{Act: ActTry}, Until: Condition{After: tryFor, Hold: true}},
		{ID: OtherMemory + "/own", Text: own, Asks: Ask{Act: ActReselect}},
		{ID: OtherMemory + "/answers", Text: stickPrompt(s, stick, "hold", "fully "+way(stick, end.Name)) + itAnswers,
			Asks: Ask{Act: ActAnswer, Channel: stick.Number, Place: end.Name}, Until: answers},
	}
	return p
}
