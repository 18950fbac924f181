package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func rest(side int, by event.RestBy, fine unit.Duration, answered ...unit.Duration) event.ModelRestedData {
	d := event.ModelRestedData{Rest: event.Rest{By: by}, Side: side, FineNS: fine}
	for i, after := range answered {
		d.Outputs = append(d.Outputs, event.OutputRest{Output: i + 1, AnsweredNS: after})
	}
	return d
}

// Angles are felt where each of them is; of those to neither side nobody asks.
func TestHowAnglesAreKnown(t *testing.T) {
	level := rest(0, event.RestCounted, 0)
	for want, sides := range map[event.RestBy][]event.RestBy{
		event.RestCounted: nil,
		event.RestFelt:    {event.RestFelt, event.RestFelt, event.RestFelt},
		event.RestTyped:   {event.RestFelt, event.RestTyped, event.RestFelt},
	} {
		g := grouped{rests: []event.ModelRestedData{level}}
		for _, by := range sides {
			g.rests = append(g.rests, rest(1, by, 0))
		}
		assert.Equal(t, want, g.by())
	}
}

// An output answers within the shortest time that was seen of it, which is known as finely as the worst.
func TestWithinWhatTimeItAnswered(t *testing.T) {
	const ms = unit.Millisecond
	g := grouped{rests: []event.ModelRestedData{
		rest(0, event.RestFelt, 0), rest(1, event.RestFelt, 250*ms, 0, 900*ms), rest(1, event.RestFelt, 300*ms, 450*ms, 1),
		rest(-1, event.RestFelt, 260*ms, 400*ms, 0),
	}}
	for output, want := range map[int]unit.Duration{1: 400 * ms, 2: 1, 3: 0} {
		var d event.AnswerFittedData
		g.answered(&d, output)
		assert.Equal(t, want, d.AnsweredNS)
		assert.Equal(t, 300*ms, d.FineNS)
	}
}
