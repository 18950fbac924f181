package monitor_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	hourOf = 60 * unit.Minute
	// quietFor ends an occasion, give or take what is not known of its borders.
	quietFor = 30 * unit.Minute
	unsure   = 40 * unit.Second
)

// seldomAfter are the hours without one more occasion that bear out one an hour at most,
// after so many (published in the table of the statistics that this follows, rounded down).
var seldomAfter = []float64{3.788, 6.657, 8.861, 10.828, 12.661, 14.405}

// outage is what may be counted as one. One that is sure must be.
type outage struct {
	event.Span
	sure bool
}

// outages are those up to a moment.
func (w *scene) outages(until unit.Time) (list []outage) {
	for i := range w.gones {
		g := &w.gones[i]
		if g.from < 0 || g.from > until {
			continue
		}
		o := outage{Span: event.Span{From: g.from, To: g.to}}
		o.sure = g.flaggedLong(until) && g.silent() < 0 && !w.damage && !w.besides(o.Span)
		list = append(list, o)
	}
	for _, x := range w.truths {
		if x.Kind == "hiccup" || x.Kind == "frame" && x.To == "wrong" {
			list = append(list, outage{Span: event.Span{From: unit.Time(x.At), To: unit.Time(x.At)}})
		}
	}
	list = slices.DeleteFunc(list, func(o outage) bool { return o.From > until })
	slices.SortFunc(list, func(a, b outage) int { return int(a.From - b.From) })
	return list
}

// flaggedLong says that the flags of a link must have shown it, and its end, by some moment.
func (g *gone) flaggedLong(until unit.Time) bool {
	flagged := g.flagged()
	return flagged >= 0 && g.linked() && g.power == unit.Never && g.back && g.to < until.Add(-2*unit.Second) && g.lasts() > flagged+2*unit.Second
}

// besides says whether a drill was under way, or the computer stood still, near a stretch; or
// the link had just begun.
func (w *scene) besides(s event.Span) bool {
	const drills = 3 * unit.Minute // from one step to the next, or to the end
	for _, x := range w.says {
		if x.At < s.To.Add(unit.Second) && x.At.Add(drills) > s.From {
			return true
		}
	}
	for _, x := range w.stalls {
		if x.From < s.To.Add(5*unit.Second) && x.To.Add(5*unit.Second) > s.From {
			return true
		}
	}
	return w.liveIn(s.From.Add(-5*unit.Second), s.From) < 4*unit.Second
}

// occasions is how many there were up to a moment, at least and at most.
func (w *scene) occasions(until unit.Time) (least, most int64) {
	list := w.outages(until)
	ended, taken := unit.Time(-1), unit.Time(-1)
	counted := false
	for _, o := range list {
		if ended < 0 || o.From.Sub(ended) > quietFor+unsure {
			counted = false
		}
		if o.sure && !counted {
			least++
			counted = true
		}
		ended = max(ended, o.To)
	}
	slices.SortFunc(list, func(a, b outage) int { return int(a.To - b.To) })
	for _, o := range list {
		if taken < 0 || o.From.Sub(taken) > quietFor-unsure {
			most++
			taken = o.To
		}
	}
	return least, most
}

func soakCounted(w *scene, e *event.Event) string {
	d := e.Data.(event.SoakData)
	least, most := w.occasions(e.At)
	live := w.live(e.At)
	flagged, frames := int64(0), int64(0)
	for _, f := range w.between(0, e.At) {
		if frames++; !plain(&f) {
			flagged++
		}
	}
	switch {
	case d.LiveNS > live+exposure(live):
		return fmt.Sprintf("live for %.1f s only", float64(live)/1e9)
	case d.Occasions < least || d.Occasions > most:
		return fmt.Sprintf("%d occasions at least, %d at most", least, most)
	case d.Missed > flagged && !w.damage || d.Frames > frames:
		return fmt.Sprintf("%d of %d frames were flagged", flagged, frames)
	case d.Known && (d.LowPPM > d.PPM || d.HighPPM < d.PPM):
		return "the share is not within its bounds"
	}
	return ""
}

func soakRight(w *scene, id []string, at unit.Time) string {
	switch id[1] {
	case "outages":
		least, _ := w.occasions(at)
		live := w.live(at)
		hours := float64(live+exposure(live)) / float64(w.sh.Soak.OneIn)
		if least >= int64(len(seldomAfter)) || hours < seldomAfter[least] {
			return fmt.Sprintf("%d occasions in %.2f h", least, float64(live)/float64(hourOf))
		}
	case "missed":
		if share, of := w.missed(at, 200*unit.Millisecond); of == 0 || share > w.sh.Soak.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "stir":
		return w.supplyHeld(at)
	}
	return ""
}

func soakWrong(w *scene, id []string, at unit.Time) string {
	switch id[1] {
	case "outages":
		_, most := w.occasions(at)
		n, expected := float64(most), float64(w.live(at))/float64(w.sh.Soak.OneIn)*29/30
		// Under no rate whatever are they twenty times as likely.
		if n <= expected || n*math.Log(n/expected)-n+expected < math.Log(20) {
			return fmt.Sprintf("%d occasions where %.3f are expected", most, expected)
		}
	case "missed":
		if share, of := w.missed(at, w.sh.Failsafe.Within); !w.damage && share < w.sh.Soak.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "stir":
		if n := w.silentIn(w.stirred(at)); n == 0 {
			return "the bus was never silent while sticks were stirred"
		}
	}
	return ""
}

// stirred is the span of the stir drill in which hands stir: behind a minute at rest, up to
// a moment.
func (w *scene) stirred(at unit.Time) event.Span {
	s := event.Span{From: unit.Never, To: at}
	for _, x := range w.says {
		var step event.DrillStep
		if json.Unmarshal(x.Data, &step) == nil && step.Drill == drill.Stir && step.Do == event.StepConfirm && x.At < at {
			s.From = x.At.Add(unit.Minute)
		}
	}
	s.To = min(s.To, s.From.Add(unit.Minute+unit.Second))
	return s
}

// silentIn is how many silences of the wire began in a span.
func (w *scene) silentIn(s event.Span) (n int) {
	for _, x := range w.silences() {
		if x.From >= s.From.Add(-slack) && x.From <= s.To {
			n++
		}
	}
	return n
}

// supplyHeld: sticks were stirred, and no silence came meanwhile that no stall of the
// computer may have hidden.
func (w *scene) supplyHeld(at unit.Time) string {
	s := w.stirred(at)
	for _, x := range w.silences() {
		if x.To.Sub(x.From) > 250*unit.Millisecond+w.late && x.From >= s.From.Add(slack) && x.To <= s.To.Add(-slack) && !w.besidesStall(x) {
			return fmt.Sprintf("the bus was silent from %.2f s to %.2f s", float64(x.From)/1e9, float64(x.To)/1e9)
		}
	}
	for _, c := range w.sh.Channels {
		if c.Kind != "stick" {
			continue
		}
		if moved := w.handsOn(c.Name, s); moved < 20*unit.Second {
			return fmt.Sprintf("%s was stirred for %.1f s", c.Name, float64(moved)/1e9)
		}
	}
	return ""
}

func (w *scene) besidesStall(s event.Span) bool {
	return slices.ContainsFunc(w.stalls, func(x event.Span) bool { return x.From < s.To && x.To > s.From.Add(-5*unit.Second) })
}

// handsOn is for how long a stick was under way in a span.
func (w *scene) handsOn(name string, s event.Span) (lasted unit.Duration) {
	from := unit.Time(-1)
	for _, x := range w.truths {
		switch {
		case x.Kind != "stick" || x.About != name:
		case x.To == "moving":
			from = unit.Time(x.At)
		case from >= 0:
			lasted += max(0, min(unit.Time(x.At), s.To).Sub(max(from, s.From)))
			from = -1
		}
	}
	if from >= 0 {
		lasted += max(0, s.To.Sub(max(from, s.From)))
	}
	return lasted
}
