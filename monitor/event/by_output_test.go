package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

// Outputs are found by their numbers, in whatever order they were added, and stand in the order
// of their numbers.
func TestByOutput(t *testing.T) {
	for name, order := range map[string][]int{"in order": {1, 2, 3}, "from behind": {3, 2, 1}, "with holes": {5, 2, 9}, "alone": {4}} {
		t.Run(name, func(t *testing.T) {
			var by event.ByOutput[string]
			known := map[int]string{}
			for _, n := range order {
				assert.Nil(t, by.Of(n))
				known[n] = string(rune('a' + n))
				assert.Equal(t, known[n], *by.Add(n, known[n]))
			}
			for n := -1; n < 12; n++ {
				got := by.Of(n)
				if want, ok := known[n]; ok {
					assert.Equal(t, want, *got)
				} else {
					assert.Nil(t, got)
				}
			}
			assert.IsIncreasing(t, append([]int{0}, by.Numbers...))
			assert.IsIncreasing(t, append([]string{""}, by.List...))
		})
	}
}
