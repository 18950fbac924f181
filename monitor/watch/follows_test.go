package watch_test

import (
	"fmt"
	"testing"

	"benchproof.example/monitor/watch"
)

func bothLeads() []watch.Watcher { return []watch.Watcher{&watch.Follows{Tap: 2}, &watch.OutClip{Tap: 2}} }

func TestTryFollows(t *testing.T) {
	ev := played(t, bothLeads, func(w *wired) {
		w.leads[2].high = 1650
		w.run(2)
		w.sweep(1, 2, 4)
		w.raise()
		w.sweep(1, 2, 4)
		w.raise()
	})
	for _, e := range ev {
		fmt.Printf("%.1f %.1f %s %s %+v\n", float64(e.At)/1e9, float64(e.From)/1e9, e.Kind, e.About, e.Data)
	}
}
