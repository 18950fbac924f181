package operator

import (
	"strings"
	"time"
)

// stir lets the throttle down and all else go, or stirs all sticks but the throttle.
func (h *Operator) stir(step string) []Step {
	if step == "still" {
		return append([]Step{h.letGo()}, h.lever("idle")...)
	}
	return []Step{
		{Wait: h.milliseconds(400, 1500), Do: "stir " + strings.Join(h.sticks(), " ") + " for 56s"},
		{Wait: 57 * time.Second, Do: "release " + strings.Join(h.sticks(), " ")},
	}
}
