package watch_test

import (
	"slices"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

func newLoss() watch.Watcher { return &watch.Loss{Tap: 1} }

// settled are the events that say what stands in a failsafe.
func settled(list []fact.Event) []fact.Event {
	return slices.DeleteFunc(list, func(e fact.Event) bool { return e.Kind != fact.FailsafeSettled })
}
