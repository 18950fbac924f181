package main

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/state"
)

// widths are those of the outputs whose pulses come, for a status line; "" where
// nothing is heard of any.
func widths(s *state.State) string {
	var parts []string
	for i := range s.Taps {
		t := &s.Taps[i]
		if t.Board == nil || !t.Up {
			continue
		}
		for _, o := range t.Board.Outputs {
			if o.Pulsing {
				parts = append(parts, fmt.Sprintf("%d: %d", o.Number, (o.WidthNS+500)/1000))
			}
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "outputs " + strings.Join(parts, ", ") + " µs"
}
