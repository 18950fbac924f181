package record

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// The kinds of outage, in the order in which they are reported.
var outages = []string{"missed", "failsafe", "silent", "port"}

// tapLines gathers what the taps' lines were like.
type tapLines struct{ ByTap map[string]*tapLine }

type tapLine struct {
	Ports   []string
	Count   map[string]int
	Longest map[string]unit.Duration
	Down    unit.Time // since when there is no port, -1 while there is
}

func (l *tapLines) of(tap string) *tapLine {
	if l.ByTap[tap] == nil {
		l.ByTap[tap] = &tapLine{Ports: []string{}, Count: map[string]int{}, Longest: map[string]unit.Duration{}, Down: -1}
	}
	return l.ByTap[tap]
}

func (l *tapLines) see(e *event.Event) {
	name, ok := event.AboutTap.Name(e.About)
	if !ok {
		return
	}
	t := l.of(name)
	switch d := e.Data.(type) {
	case event.PortData:
		t.came(&d, e.From)
	case event.ReasonData:
		if t.Down < 0 {
			t.Down = e.From
			t.Count["port"]++
		}
	case event.SilentData:
		t.Count["silent"]++
	case event.LockedData:
		t.over("silent", d.SilentNS)
	case event.FramesMissingData:
		if e.Kind == event.AirMissed && !d.Loss {
			t.missed(&d)
		}
	case event.FailsafeData:
		t.failsafe(e.Kind, &d)
	}
}

// missed notes how long runs of a live link were, which may be reported together; a run of
// one frame has no length. How many there were the watchers count.
func (t *tapLine) missed(d *event.FramesMissingData) {
	longest := d.SpanNS
	if d.Runs > 0 {
		longest = d.LongestNS
	}
	t.Longest["missed"] = max(t.Longest["missed"], longest)
}

// failsafe counts those after a link: before, its flag says nothing.
func (t *tapLine) failsafe(kind string, d *event.FailsafeData) {
	switch {
	case d.BeforeLink:
	case kind == event.FailsafeEntered:
		t.Count["failsafe"]++
	case kind == event.FailsafeLeft:
		t.over("failsafe", d.AfterNS)
	}
}

func (t *tapLine) came(d *event.PortData, at unit.Time) {
	text := d.Port
	for _, more := range []string{d.Settings, d.Latency} {
		if more != "" && more != "unknown" {
			text += ", " + more
		}
	}
	if len(t.Ports) == 0 || t.Ports[len(t.Ports)-1] != text {
		t.Ports = append(t.Ports, text)
	}
	if t.Down >= 0 {
		t.over("port", at.Sub(t.Down))
		t.Down = -1
	}
}

// over notes how long an outage was; 0: there was none.
func (t *tapLine) over(kind string, span unit.Duration) {
	if span > 0 {
		t.Longest[kind] = max(t.Longest[kind], span)
	}
}

// taps are those of the sheet with what was gathered and the bench's counts.
func (l *tapLines) taps(s *sheet.Sheet, now *state.State) []Tap {
	list := make([]Tap, 0, len(s.Taps))
	for _, t := range s.Taps {
		r := Tap{Name: t.Name, Kind: t.Kind, Carries: t.Carries, Ports: l.of(t.Name).Ports, Refused: []Refused{}}
		for i := range now.Taps {
			if now.Taps[i].Name == t.Name {
				r.counts(&now.Taps[i])
			}
		}
		r.Outages = l.of(t.Name).outages(&r.LinkTally)
		list = append(list, r)
	}
	return list
}

func (t *tapLine) outages(link *state.LinkTally) []Outage {
	t.Count["missed"] = int(link.LinkMissedRuns)
	list := []Outage{}
	for _, kind := range outages {
		if t.Count[kind] == 0 {
			continue
		}
		longest, ended := t.Longest[kind]
		if !ended {
			longest = -1
		}
		list = append(list, Outage{kind, t.Count[kind], longest})
	}
	return list
}

func (r *Tap) counts(t *state.Tap) {
	r.Heard = t.LastNS >= 0
	r.PeriodNS, r.PortTally, r.FrameTally, r.LinkTally = t.PeriodNS, t.PortTally, t.FrameTally, t.LinkTally
	r.Ranges = t.Ranges
	for _, f := range t.Refused {
		if f.Bytes > 0 {
			r.Refused = append(r.Refused, Refused(f))
		}
	}
}
