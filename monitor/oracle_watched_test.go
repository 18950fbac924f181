//go:build !race

package monitor_test

import (
	"fmt"

	"benchproof.example/monitor/fact"
)

// busWatched: no more exposure than there was.
func busWatched(w *world, e *fact.Event) string {
	const more = 10 * fact.Second // movement is bridged more generously there
	d := e.Data.(fact.WatchedData)
	live, moving, flagged := w.live(e.At), w.moving(e.At), int64(0)
	for _, f := range w.between(0, e.At) {
		switch {
		case !plain(&f):
			flagged++
		case !w.believable(&f):
			live += w.period // nobody can know before the flag comes
		}
	}
	switch {
	case d.LiveNS > live+fact.Second:
		return fmt.Sprintf("live for %.1f s", float64(live)/1e9)
	case d.MovingNS > moving+more+fact.Time(d.Spells)*fact.Second:
		return fmt.Sprintf("values moved for %.1f s", float64(moving)/1e9)
	case d.LinkMissed > flagged && !w.damage:
		return fmt.Sprintf("%d frames were flagged", flagged)
	}
	return ""
}
