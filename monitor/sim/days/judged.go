package days

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// judged is what a recording gives.
type judged struct {
	engine *engine.Engine
	failed error
	read   int64 // inputs that were judged
	lines  []string
	claims []*claim.Claim
	inputs map[put]int
	people map[put]int       // what people put in, without dates
	gaps   [][2]unit.Time    // from its beginning to its end
	last   map[int]unit.Time // of each life
}

// judge judges a recording, which must be whole but for its tail.
func (d *day) judge(in files.Folder) (j *judged, err error) {
	j = &judged{inputs: map[put]int{}, people: map[put]int{}, last: map[int]unit.Time{}}
	j.engine = engine.New(d.sheet, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		j.failed = errors.Join(j.failed, err)
		j.lines = append(j.lines, string(line))
	})
	err = d.goOn(in, j)
	return j, err
}

// goOn judges what a recording has behind what of it was judged before.
func (d *day) goOn(in files.Folder, j *judged) error {
	r, err := recording.OpenSegments(in)
	if err != nil {
		return err
	}
	var input event.Input
	for n := int64(0); n < j.read && err == nil; n++ {
		err = r.Next(&input)
	}
	for err == nil {
		if err = j.engine.StepFrom(r, &input); err == nil {
			j.keep(&input)
		}
	}
	j.claims = j.engine.Claims()
	if damages := r.Damages(); len(damages) > 0 && !d.damaged {
		return fmt.Errorf("the recording is damaged: %v", damages)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, recording.ErrNotRecording) && len(j.lines) == 0 {
		err = nil
	}
	return errors.Join(err, j.failed, r.Close())
}

func (j *judged) keep(in *event.Input) {
	j.read++
	j.inputs[put{at: in.At, tap: in.Tap, kind: in.Kind, data: string(in.Data)}]++
	switch in.Kind {
	case event.InputMark, event.InputDrillStep, event.InputStrike, event.InputReopen, event.InputPapers:
		j.people[put{kind: in.Kind, data: string(in.Data)}]++
	case event.InputResume: // ends a gap too
		if n := len(j.gaps); n > 0 && j.gaps[n-1][1] == unit.Never {
			j.gaps[n-1][1] = in.At
		}
	case event.InputRecordingGap:
		var gap event.RecordingGapInput
		_ = json.Unmarshal(in.Data, &gap)
		if n := len(j.gaps); gap.Ended && n > 0 {
			j.gaps[n-1][1] = in.At
		} else {
			j.gaps = append(j.gaps, [2]unit.Time{in.At, unit.Never})
		}
	}
}

// lastOf is the date of the last input of a life that is recorded, Never behind one of a later life
// that ended well.
func (j *judged) lastOf(d *day, life int) (last unit.Time) {
	if at, known := j.last[life]; known {
		return at
	}
	last = -1
	for _, p := range d.puts {
		if p.life == life {
			at := p.at
			p.life = 0
			if j.inputs[p] > 0 {
				last = max(last, at)
			}
		}
	}
	j.last[life] = last
	return last
}

// inGap reports whether a gap is recorded at a date.
func (j *judged) inGap(at unit.Time) bool {
	return slices.ContainsFunc(j.gaps, func(g [2]unit.Time) bool { return g[0] <= at && at <= g[1] })
}
