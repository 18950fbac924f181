package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// What a gathering that goes along with a session remembers. A trace has at most 22 seconds,
// in which a channel that moves all the time has 1100 points, and is kept with the next
// beat behind it.
const (
	mostPoints = 1500
	mostState  = 512 << 10 // bytes of JSON, all together: a checkpoint's line has a MiB
)

// Gathering gathers what a record has while an engine judges: from its events, and from what
// the taps carried. Its exported fields are what a checkpoint keeps.
type Gathering struct {
	Collector *Collector
	Tracer    *Tracer
	Kept      keptTraces

	sheet *sheet.Sheet
	over  bool // it was given up
}

// ErrNotGathered says that a record can't be made of what is remembered; judging the recording
// again makes it.
var ErrNotGathered = errors.New("not all that the record shows is remembered")

// NewGathering makes an empty one that remembers all, however much that is: for who judges a
// recording.
func NewGathering(s *sheet.Sheet) *Gathering {
	return &Gathering{Collector: NewCollector(s), Tracer: NewTracer(s), sheet: s}
}

// NewBoundedGathering makes an empty one that remembers what it needs for the record of what
// it goes along with, and no more than half a MiB in a checkpoint.
func NewBoundedGathering(s *sheet.Sheet) *Gathering {
	g := NewGathering(s)
	g.Tracer.most = mostPoints
	return g
}

// RestoreGathering makes a bounded one that goes on from a checkpoint taken under the same
// sheet by the same build.
func RestoreGathering(checkpoint json.RawMessage, s *sheet.Sheet) (*Gathering, error) {
	g := NewBoundedGathering(s)
	if err := json.Unmarshal(checkpoint, g); err != nil {
		return nil, fmt.Errorf("what was gathered: %w", err)
	}
	again, err := json.Marshal(g)
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(checkpoint, again) {
		return nil, errors.New("what was gathered: it has other fields than this build's; another build gathered it")
	}
	return g, nil
}

// Checkpoint is what was gathered, as JSON; nil once it was given up. What has become too
// large is given up here.
func (g *Gathering) Checkpoint() (json.RawMessage, error) {
	if g.over {
		return nil, nil
	}
	state, err := json.Marshal(g)
	if err == nil && len(state) > mostState {
		g.GiveUp()
		return nil, nil
	}
	return state, err
}

// GiveUp lets go of all: the record can be made by judging the recording only.
func (g *Gathering) GiveUp() { *g = Gathering{sheet: g.sheet, over: true} }

// bounded reports whether it goes along with a session.
func (g *Gathering) bounded() bool { return g.Tracer.most > 0 }

// OnEvent implements engine.EventFunc.
func (g *Gathering) OnEvent(e *event.Event, wall int64) {
	if !g.over {
		g.Collector.OnEvent(e, wall)
	}
}

// Judged follows each input that the engine judged.
func (g *Gathering) Judged(in *event.Input, e *engine.Engine) {
	if g.over {
		return
	}
	g.Tracer.Judged(in, e)
	if !g.bounded() {
		return
	}
	switch in.Kind {
	case event.InputBeat:
		g.Kept.keep(g.Tracer, g.Collector, e)
	case event.InputRecordingGap: // what comes now no recording has
		g.GiveUp()
	}
}

// Record is the record of what the engine judged so far; sheetText is the sheet as it is
// written, flaws are what was found wrong with the recording, in sentences.
func (g *Gathering) Record(e *engine.Engine, sheetText string, flaws []string) (*Record, error) {
	if g.over || g.Collector.Begun.IsZero() {
		return nil, ErrNotGathered
	}
	r, whole := g.assemble(e)
	if !whole {
		return nil, ErrNotGathered
	}
	r.Sheet = sheetText
	r.Flaws = append(r.Flaws, flaws...)
	r.Unseen = listUnseen(r, g.sheet, g.Collector)
	return r, nil
}
