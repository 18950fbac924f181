package drill_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	period = 7 * fact.Millisecond
	tap    = 1
	board  = 2
)

var (
	bus   = drill.Tap{Number: tap, Name: "main"}
	leads = drill.Tap{Number: board, Name: "leads"}
)

// rig drives a runner with hand-built frames.
type rig struct {
	t       testing.TB
	sheet   *sheet.Sheet
	runner  *drill.Runner
	now     fact.Time
	frame   servobus.Frame
	hearing drill.Hearing
	events  []fact.Event
	torn    bool // the runner goes through its JSON before each thing that it sees
}

func newRig(t testing.TB, s *sheet.Sheet) *rig {
	r := &rig{t: t, sheet: s, runner: drill.New(s, bus, leads)}
	for i := range r.frame.Counts {
		r.frame.Counts[i] = 992
	}
	r.set("throttle", 1010)
	r.hearing = drill.Hearing{Signal: fact.Live, Width: func(f *servobus.Frame, channel int) int64 {
		if channel > servobus.Channels {
			if channel == 17 && f.Ch17() {
				return 2_012_000
			}
			return 988_000
		}
		return s.Scale.Width(int64(f.Counts[channel-1]))
	}}
	return r
}

func (r *rig) emit(kind string, from fact.Time, about string, data any) {
	require.LessOrEqual(r.t, from, r.now)
	r.events = append(r.events, fact.Event{At: r.now, From: from, Kind: kind, About: about, Data: data})
}

func (r *rig) see(o fact.Observation) {
	if r.torn {
		state, err := json.Marshal(r.runner)
		require.NoError(r.t, err)
		r.runner = drill.New(r.sheet, bus, leads)
		require.NoError(r.t, json.Unmarshal(state, r.runner))
	}
	for due := r.runner.Due(); due < o.At; due = r.runner.Due() {
		r.now = due
		r.runner.Expire(due, r.emit)
	}
	r.now = o.At
	r.runner.See(&o, &r.hearing, r.emit)
}

// pass lets time pass without a frame.
func (r *rig) pass(d fact.Time) { r.see(fact.Observation{At: r.now + d, Kind: fact.Beat}) }

// set has a channel stand at a width, µs, from the next frame on.
func (r *rig) set(name string, micros int64) {
	c, ok := r.sheet.ByName(name)
	if ok {
		r.frame.Counts[c.Number-1] = uint16(r.sheet.Scale.Count(micros * 1000))
	}
}

// hear lets frames come for so long.
func (r *rig) hear(d fact.Time) {
	for end := r.now + d; r.now+period <= end; {
		f := r.frame
		r.see(fact.Observation{At: r.now + period, Wire: r.now + period, Tap: tap, Kind: fact.FrameSeen, Frame: &f})
	}
}

// once lets one frame come in which a channel stands elsewhere.
func (r *rig) once(name string, micros int64) {
	was := r.frame
	r.set(name, micros)
	r.hear(period)
	r.frame = was
}

// ramp moves a channel, one step a frame.
func (r *rig) ramp(name string, from, to, step int64) {
	for w := from; ; w += step {
		if step > 0 && w > to || step < 0 && w < to {
			w = to
		}
		r.set(name, w)
		r.hear(period)
		if w == to {
			return
		}
	}
}

func (r *rig) step(name, do string) { r.input(fact.Step{Drill: name, Do: do}) }

func (r *rig) input(s fact.Step) {
	data, err := json.Marshal(s)
	require.NoError(r.t, err)
	r.see(fact.Observation{At: r.now, Kind: fact.DrillStep, Data: data})
}

// start begins a drill and confirms its cautions, frames coming in.
func (r *rig) start(name string) {
	r.hear(fact.Second)
	r.step(name, fact.StepBegin)
	r.hear(fact.Second)
	r.step(name, fact.StepConfirm)
}

// said lists the events since the last time: kind and what matters of it.
func (r *rig) said() (list []string) {
	for _, e := range r.events {
		s := e.Kind
		switch d := e.Data.(type) {
		case fact.DrillBeganData:
			s += fmt.Sprintf(" %d prompts", d.Prompts)
		case fact.DrillPromptedData:
			s += fmt.Sprintf(" %d/%d %s", d.Number, d.Of, d.Prompt)
		case fact.DrillAnsweredData:
			s += " " + d.Prompt + " by " + d.By
		case fact.DrillHintData:
			s += " " + d.Prompt + ": " + d.Why
		case fact.DrillEndedData:
			s += " " + d.How
			if d.Why != "" {
				s += ": " + d.Why
			}
		case fact.ReasonData:
			s += ": " + d.Why
		}
		list = append(list, s)
	}
	r.events = nil
	return list
}

// answer is the latest one.
func (r *rig) answer() fact.DrillAnsweredData {
	for i := len(r.events) - 1; i >= 0; i-- {
		if d, ok := r.events[i].Data.(fact.DrillAnsweredData); ok {
			return d
		}
	}
	require.Fail(r.t, "no answer")
	return fact.DrillAnsweredData{}
}

// done has the builder answer.
func (r *rig) done() fact.DrillAnsweredData {
	r.step(r.runner.Active(), fact.StepDone)
	d := r.answer()
	require.Equal(r.t, "builder", d.By)
	return d
}

func move(t testing.TB, d fact.DrillAnsweredData, channel int) fact.Move {
	for _, m := range d.Channels {
		if m.Channel == channel {
			return m
		}
	}
	require.Fail(t, "no such channel")
	return fact.Move{}
}
