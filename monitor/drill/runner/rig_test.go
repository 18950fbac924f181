package runner_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/drill/runner"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// starter is sheettest.WholeCounts, read.
func starter(t testing.TB, changes ...string) *sheet.Sheet {
	s, err := sheet.Read("starter", sheettest.WholeCounts(changes...))
	require.NoError(t, err)
	return s
}

func small(t testing.TB, text string) *sheet.Sheet {
	s, err := sheet.Read("small", []byte("sheet: 1\nmodel: M\n"+text))
	require.NoError(t, err)
	return s
}

const (
	period = 7 * unit.Millisecond
	tap    = 1
	board  = 2
)

var (
	mainBus = runner.Tap{Number: tap, Name: "main"}
	leads   = runner.Tap{Number: board, Name: "leads"}
)

// rig drives a runner with hand-built frames.
type rig struct {
	t       testing.TB
	sheet   *sheet.Sheet
	blank   runner.Runner // one that has seen nothing
	runner  *runner.Runner
	now     unit.Time
	frame   bus.Frame
	hearing runner.BusState
	events  []event.Event
	torn    bool // the runner goes through its JSON before each thing that it sees
}

func newRig(t testing.TB, s *sheet.Sheet) *rig {
	r := &rig{t: t, sheet: s, blank: *runner.New(s, mainBus, leads, runner.Tap{}), runner: runner.New(s, mainBus, leads, runner.Tap{})}
	for i := range r.frame.Counts {
		r.frame.Counts[i] = 992
	}
	r.set("throttle", 1010)
	r.hearing = runner.BusState{Signal: event.SignalLive, Channels: 18, Width: func(f *bus.Frame, channel int) unit.Width {
		if channel > servobus.Channels {
			if channel == 17 && f.Digital(0) {
				return 2_012_000
			}
			return 988_000
		}
		return s.Width(f.Counts[channel-1])
	}}
	return r
}

func (r *rig) emit(kind string, from unit.Time, about string, data any) {
	require.LessOrEqual(r.t, from, r.now)
	r.events = append(r.events, event.Event{At: r.now, From: from, Kind: kind, About: about, Data: data})
}

func (r *rig) see(o event.Observation) {
	if r.torn {
		state, err := json.Marshal(r.runner)
		require.NoError(r.t, err)
		fresh := r.blank
		r.runner = &fresh
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
func (r *rig) pass(d unit.Duration) {
	r.see(event.Observation{At: r.now.Add(d), Kind: event.InputBeat})
}

// set has a channel stand at a width, µs, from the next frame on.
func (r *rig) set(name string, micros int64) {
	c, ok := r.sheet.ByName(name)
	if ok {
		r.frame.Counts[c.Number-1] = uint32(r.sheet.Scale.Count(micros * 1000))
	}
}

// hear lets frames come for d.
func (r *rig) hear(d unit.Duration) {
	for end := r.now.Add(d); r.now.Add(period) <= end; {
		f := r.frame
		r.see(event.Observation{At: r.now.Add(period), Wire: r.now.Add(period), Tap: tap, Kind: event.FrameSeen, Frame: &f})
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

func (r *rig) step(name, do string) { r.input(event.DrillStep{Drill: name, Do: do}) }

func (r *rig) input(s event.DrillStep) {
	data, err := json.Marshal(s)
	require.NoError(r.t, err)
	r.see(event.Observation{At: r.now, Kind: event.InputDrillStep, Data: data})
}

// start begins a drill and confirms its cautions, frames coming in.
func (r *rig) start(name string) {
	r.hear(unit.Second)
	r.step(name, event.StepBegin)
	r.hear(unit.Second)
	r.step(name, event.StepConfirm)
}

// said lists the events since the last time: kind and what matters of it.
func (r *rig) said() (list []string) {
	for _, e := range r.events {
		s := e.Kind
		switch d := e.Data.(type) {
		case event.DrillBeganData:
			s += fmt.Sprintf(" %d prompts", d.Prompts)
		case event.DrillPromptedData:
			s += fmt.Sprintf(" %d/%d %s", d.Number, d.Of, d.Prompt)
		case event.DrillAnsweredData:
			s += " " + d.Prompt + " by " + d.By
		case event.DrillHintData:
			s += " " + d.Prompt + ": " + d.Why
		case event.DrillEndedData:
			s += " " + d.How
			if d.Why != "" {
				s += ": " + d.Why
			}
		case event.ReasonData:
			s += ": " + d.Why
		}
		list = append(list, s)
	}
	r.events = nil
	return list
}

// answer is the latest one.
func (r *rig) answer() event.DrillAnsweredData {
	for i := len(r.events) - 1; i >= 0; i-- {
		if d, ok := r.events[i].Data.(event.DrillAnsweredData); ok {
			return d
		}
	}
	require.Fail(r.t, "no answer")
	return event.DrillAnsweredData{}
}

// done has the builder answer.
func (r *rig) done() event.DrillAnsweredData {
	r.step(r.runner.Active(), event.StepDone)
	d := r.answer()
	require.Equal(r.t, "builder", d.By)
	return d
}

func move(t testing.TB, d event.DrillAnsweredData, channel int) event.ChannelMove {
	for _, m := range d.Channels {
		if m.Channel == channel {
			return m
		}
	}
	require.Fail(t, "no such channel")
	return event.ChannelMove{}
}
