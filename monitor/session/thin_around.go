package session

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// AroundEvents is how far from what happened nothing is thinned.
const AroundEvents = unit.Minute

// commonplace are kinds of events of which a quiet night has many, and of which the timeline says all there is to
// them: a few missed frames, and a computer that read late.
var commonplace = []string{event.AirMissed, event.BusLate}

// Uneventful are those of the segments that Before gave in which nothing happened, nor within AroundEvents of them, by the
// timeline: no event that the screen has, but for those that are commonplace. The others are eventful.
//
//	segments  |    1    |    2    |    3    |    4    |
//	events    :began                     :loss
//	thinned              ====2====           (3: the loss, 4: it was less than a minute before)
//
// A timeline with damage says nothing for sure: then all are eventful.
func (t *Thinner) Uneventful(list []recording.Segment) (uneventful, eventful []recording.Segment, err error) {
	happened, whole, err := t.happened()
	if err != nil || !whole {
		return nil, list, err
	}
	for _, s := range list {
		from, to := t.Span(s)
		if slices.ContainsFunc(happened, func(at unit.Time) bool {
			return at <= to.Add(AroundEvents) && at >= from.Add(-AroundEvents)
		}) {
			eventful = append(eventful, s)
		} else {
			uneventful = append(uneventful, s)
		}
	}
	return uneventful, eventful, nil
}

// happened is when something did: its onset, and when it was known, which may be much later. What lies between may be
// all of a session, of what was summed up at its end. whole: the timeline has no damage.
func (t *Thinner) happened() (list []unit.Time, whole bool, err error) {
	f, err := t.in.Open(TimelineFile)
	if err != nil {
		return nil, false, fmt.Errorf("nobody knows what happened without the timeline: %w", err)
	}
	defer func() { _ = f.Close() }()
	whole = true
	_, err = timeline.Scan(f, func(_ int64, e *timeline.Entry, damage error) error {
		switch {
		case damage != nil:
			whole = false
		case event.OnScreen(&event.Event{Kind: e.Kind}) && !slices.Contains(commonplace, e.Kind):
			list = append(list, e.From, e.At)
		}
		return nil
	})
	return list, whole, err
}
