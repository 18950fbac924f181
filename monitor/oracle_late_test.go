//go:build !race

package monitor_test

import (
	"fmt"

	"benchproof.example/monitor/fact"
)

// busLate: the computer really did not read, and so many frames were on the wire.
func busLate(w *world, e *fact.Event) string {
	d := e.Data.(fact.LateData)
	from, to := w.window(e)
	for _, s := range w.stalls {
		if s.From > to || s.To < from {
			continue
		}
		if n := int64(len(w.between(s.From-slack, s.To+slack))); d.Frames > n {
			return fmt.Sprintf("%d frames were on the wire meanwhile", n)
		}
		return ""
	}
	return "the computer read all the time"
}
