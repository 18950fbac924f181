package session

import (
	"encoding/json"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

// begins looks at the first input that a recording gives.
func (v *verifier) begins(r *recording.Reader, in *event.Input) {
	at := r.Position()
	if v.identity = r.Session(); v.identity == "" {
		v.identity = recording.Identity(at.Base, in.Data)
	}
	if number := at.Input - 1; number > 0 {
		v.again.hurtFrom = 0
	}
}

func buildOf(start []byte) string {
	var s event.Start
	_ = json.Unmarshal(start, &s) // of no name where it can't be read
	return s.Build
}

// within looks at a checkpoint that stands among the inputs of a packed segment.
func (v *verifier) within(r *recording.Reader) {
	c, ok := r.Checkpoint()
	if !ok {
		v.fault("the checkpoint before input %d can't be read", r.Position().Input-1)
		return
	}
	if number := r.Position().Input - 1; c.Input != number {
		v.fault("the checkpoint of input %d stands before input %d", c.Input, number)
	}
	v.keep(&c)
}

// compareSums compares recording and timeline with what checkpoints say of them: how far
// they reached then, and the sum over the timeline.
func (v *verifier) compareSums() {
	longest, foreign := recording.Checkpoint{}, 0
	for i := range v.kept {
		c := &v.kept[i]
		if c.Session != v.identity {
			foreign++
			continue
		}
		if c.Input > longest.Input {
			longest.Input = c.Input
		}
		if i < v.inFile || !v.found.Running { // the timeline has grown since it was read
			longest.Journalled = max(longest.Journalled, c.Journalled)
		}
	}
	if foreign > 0 {
		v.note("%d checkpoints are of another session, or of a build that did not say of which; they are passed over", foreign)
	}
	if longest.Input > v.found.Inputs {
		v.fault("the recording was longer: it had %d inputs and has %d", longest.Input, v.found.Inputs)
	}
	if longest.Journalled > v.journalled {
		v.fault("the timeline was longer: it ended with event %d and ends with event %d", longest.Journalled, v.journalled)
	}
	v.compareJournal()
}

// compareJournal finds the first checkpoint up to which the timeline is not what it was.
func (v *verifier) compareJournal() {
	first := int64(0)
	for i := range v.kept {
		c := &v.kept[i]
		if c.Session != v.identity || c.JournalSum == "" {
			continue
		}
		sum, there := v.journal.Sums[c.Journalled]
		if there && sum.String() != c.JournalSum && (first == 0 || c.Journalled < first) {
			first = c.Journalled
		}
	}
	if first > 0 {
		v.fault("the timeline up to event %d is not as it was written", first)
	}
}

// compareEvents says how the recording, judged again, fits the timeline.
func (v *verifier) compareEvents() {
	a := &v.again
	v.found.SameBuild = v.sameBuild()
	if a.hurtFrom >= 0 {
		v.note("the timeline was compared with the recording up to event %d: behind it the recording is hurt or thinned", a.hurtFrom)
		return
	}
	if a.differs > 0 {
		if v.found.SameBuild {
			v.fault("the recording, judged again by this same build, gives another event %d than the timeline has", a.differs)
		} else {
			v.note("another build judged it then: from event %d on this one judges otherwise, so the timeline can't be compared behind it", a.differs)
		}
		return
	}
	switch {
	case a.lacking == 0 || v.found.Running:
	case v.found.SameBuild:
		v.fault("the timeline lacks %d events that the recording gives, the first of them event %d", a.lacking, a.lacks)
	default:
		v.note("another build judged it then: this one has %d events more, the first of them event %d", a.lacking, a.lacks)
	}
	v.compareRest()
}

// compareRest is about lines of the timeline that the recording gives no more: of said gaps,
// whose events stand where the recording's own numbers leave a hole, or without a cause.
func (v *verifier) compareRest() {
	inGaps, behind := 0, 0
	for seq := range v.lines {
		if seq > v.again.last {
			behind++
		} else {
			inGaps++
		}
	}
	if v.again.inGap {
		inGaps, behind = inGaps+behind, 0
	}
	if inGaps > 0 {
		v.note("%d events are of gaps in the recording, which it tells itself: nothing can be compared there", inGaps)
	}
	if behind > 0 && !v.found.Running {
		v.fault("the last %d events of the timeline have nothing in the recording that caused them", behind)
	}
}

// sameBuild reports whether this build judged: by the judges of the checkpoints or, where
// there are none, by the builds that recorded.
func (v *verifier) sameBuild() bool {
	if len(v.judges) > 0 {
		return len(v.judges) == 1 && v.judges[v.judge] && v.judge != ""
	}
	return len(v.builds) == 1 && v.builds[v.build]
}
