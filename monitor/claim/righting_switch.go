package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// How the righting switch goes on: by itself, or along with another.
const (
	inOneMoment = 30 * unit.Millisecond // two hands never move two switches in the same frame (common practice)
	beforeAlone = unit.Second           // so long after a switch moved, the righting one did not go along
	oftenAlong  = 2                     // once may be chance
)

// switched takes a switch that stands somewhere else.
func (r *righting) switched(e *event.Event, d *event.SwitchData, b *Book) {
	name := strings.TrimPrefix(e.About, event.AboutSwitch.Called(""))
	moved := d.Was != "" && d.Was != d.To
	span := event.Span{From: e.From, To: e.At}
	switch {
	case name == r.name && d.To == r.at.Position && moved:
		r.Came = true
		r.Last[name] = span
	case name == r.name && r.Came && moved:
		b.right(FamilyRighting.ID("rests"), fmt.Sprintf(rightingRested, r.name, d.To, r.at.Position), span, map[string]int64{"width_ns": int64(d.WidthNS)})
		return
	case slices.Contains(r.lever, name) && moved:
		r.Last[name] = span
	default:
		return
	}
	r.together(span, b)
}

// together looks for another switch that moved in the moment in which the righting one was put on.
//
//	aid       ____|----       ____|----
//	rescue    ____|----       ________
//	          along           alone, a second later
func (r *righting) together(span event.Span, b *Book) {
	on, was := r.Last[r.name]
	if !was {
		return
	}
	for _, name := range r.lever {
		at, ok := r.Last[name]
		if !ok || unit.Abs(at.From.Sub(on.From)) > inOneMoment {
			continue
		}
		delete(r.Last, name)
		if r.Along[name]++; r.Along[name] >= oftenAlong {
			b.wrong(FamilyRighting.ID("alone"), fmt.Sprintf(rightingAlong, r.name, r.at.Position, name, r.Along[name]),
				span, map[string]int64{"times": int64(r.Along[name])})
		}
	}
}

// passed takes that time went by since a switch moved: the righting one did not go along.
func (r *righting) passed(at unit.Time, b *Book) {
	for _, name := range r.lever {
		span, ok := r.Last[name]
		if !ok || at.Sub(span.To) < beforeAlone {
			continue
		}
		delete(r.Last, name)
		if !slices.Contains(r.Alone, name) {
			r.Alone = append(r.Alone, name)
			slices.Sort(r.Alone)
		}
		r.alone(span, b)
	}
}

// alone judges once each switch was seen to move by itself, and the righting one too.
func (r *righting) alone(span event.Span, b *Book) {
	var lack []string
	for _, name := range r.lever {
		if !slices.Contains(r.Alone, name) {
			lack = append(lack, name)
		}
	}
	if !r.Came {
		lack = append(lack, r.name)
	}
	if id := FamilyRighting.ID("alone"); len(lack) > 0 {
		b.unclear(id, fmt.Sprintf(rightingNotMoved, r.name, strings.Join(lack, ", ")))
	} else if len(r.Along) == 0 {
		b.right(id, fmt.Sprintf(rightingByItself, r.name, strings.Join(r.lever, ", ")), span, nil)
	}
}
