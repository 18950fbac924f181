package operator

import (
	"fmt"
	"time"

	"benchproof.example/monitor/event"
)

// rangeDrill is the walk with marks.
const rangeDrill = "range"

// told is what hands type where something is asked that can't be seen.
var told = map[string]string{"power": "reduced, by its menu", "heights": "1 m both", "antennas": "both upright", "who": "Ann, the transmitter"}

// walk answers the prompts of a range walk: marks that are left, and now and then one that is not.
func (h *Operator) walk(step string) (list []Step) {
	if words := told[step]; words != "" {
		return []Step{{Wait: h.milliseconds(1200, 3000), Enter: true, Words: words}}
	}
	if step != event.PromptWalk {
		return nil
	}
	marks := 2 + h.Rand.IntN(3)
	for n := range marks {
		list = append(list, Step{Wait: h.milliseconds(2000, 6000), Enter: true, Words: fmt.Sprintf("%d m", 10*(n+1))},
			Step{Wait: h.milliseconds(4000, 15000)})
		if n == marks-1 || h.Rand.IntN(4) > 0 {
			list = append(list, Step{Wait: 200 * time.Millisecond, Enter: true})
		}
	}
	return list
}
