package monitor_test

import (
	"benchproof.example/monitor/unit"
)

// rightingRight: the switch moved, live; for what comes without a signal, one went. What it does to outputs is not judged here.
func rightingRight(w *scene, id []string, at unit.Time) string {
	c, _ := w.sh.Channel(w.sh.Righting().Channel)
	switch id[1] {
	case "rests", "alone":
		return switchMovedAtAll(w, []string{"", c.Name}, at)
	case "failsafe":
		return failsafeRight(w, []string{"failsafe", c.Name}, at)
	}
	return ""
}
