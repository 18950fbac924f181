package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// builder is hands that follow prompts as they come, on a bench with servo leads.
type builder struct {
	t      testing.TB
	rng    *rand.Rand
	sim    *script.Driver
	engine *engine.Engine
	sheet  *sheet.Sheet
	at     unit.Time // of the bench
	beat   unit.Duration
	taps   bool // an Enter says that the model was tilted

	asks bool // somebody is there to be asked

	heard func(*event.Input) // nil, or is told each input before it is judged

	prompts []string // not yet followed
	ended   bool     // the drill
}

func newBuilder(t testing.TB, a airframe, setup string, seed uint64) *builder {
	text := simtest.Model + setup + presets + leadsSetup + a.mixes
	return build(t, a, text, seed)
}

func build(t testing.TB, a airframe, text string, seed uint64) *builder {
	scripted, err := script.ParseDriven("wings", []byte(text))
	require.NoError(t, err, text)
	w := &builder{t: t, rng: rand.New(rand.NewPCG(seed, 5)), sim: script.Drive(scripted, seed), sheet: sheetOf(t, a), beat: unit.Second}
	w.taps = seed%2 == 1
	w.engine = engine.New(w.sheet, func(e *event.Event, _ int64) { w.hears(e) })
	w.begin()
	return w
}

// hears takes what concerns drills.
func (w *builder) hears(e *event.Event) {
	switch d := e.Data.(type) {
	case event.DrillPromptedData:
		w.prompts = append(w.prompts, d.Prompt)
	case event.DrillEndedData:
		w.ended = true
		require.Equal(w.t, "finished", d.How, d.Why)
	case event.ReasonData:
		require.NotEqual(w.t, event.DrillRefused, e.Kind, d.Why)
	}
}

// begin has the engine listen to bus and board.
func (w *builder) begin() {
	in := begin("main", "leads")
	w.step(&in)
	for tap := range uint8(2) {
		w.step(&event.Input{Tap: tap + 1, Kind: event.InputTapUp, Data: []byte(`{"port":"simulated"}`)})
	}
}

// step has the engine judge an input.
func (w *builder) step(in *event.Input) {
	if w.heard != nil {
		w.heard(in)
	}
	w.engine.Step(in)
}

// run lets time pass.
func (w *builder) run(d unit.Duration) {
	end := w.at.Add(d)
	for w.at < end {
		w.at = min(w.at.Add(5*unit.Millisecond), end)
		for _, d := range w.sim.Advance(int64(w.at)) {
			at := unit.Time(d.At).Truncate(unit.Microsecond)
			w.beats(at)
			w.step(&event.Input{At: at, Tap: uint8(d.Tap + 1), Kind: event.InputBytes, Data: d.Data})
		}
		w.beats(w.at)
	}
}

func (w *builder) beats(to unit.Time) {
	for ; w.beat <= unit.Duration(to); w.beat += unit.Second {
		w.step(&event.Input{At: unit.Time(w.beat), Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(w.beat))})
	}
}

// between lets from..to milliseconds pass.
func (w *builder) between(from, to int) {
	w.run(unit.Duration(from+w.rng.IntN(to-from+1)) * unit.Millisecond)
}

func (w *builder) do(format string, args ...any) {
	require.NoError(w.t, w.sim.Say(int64(w.at), fmt.Sprintf(format, args...)))
}

// stick moves a stick there and waits until it is.
func (w *builder) stick(name string, us int64) {
	d := 400 + w.rng.IntN(400)
	w.do("stick %s %d over %dms", name, us, d)
	w.run(unit.Duration(d) * unit.Millisecond)
	w.between(200, 600)
}

func (w *builder) say(name, do, prompt string) {
	data, _ := json.Marshal(event.DrillStep{Drill: name, Do: do, Prompt: prompt, By: "Ann", Attended: w.asks && do == event.StepBegin})
	w.step(&event.Input{At: w.at, Kind: event.InputDrillStep, Data: data})
}

// tell answers a prompt in words.
func (w *builder) tell(name, prompt, words string) {
	data, _ := json.Marshal(event.DrillStep{Drill: name, Do: event.StepDone, Prompt: prompt, Words: words})
	w.step(&event.Input{At: w.at, Kind: event.InputDrillStep, Data: data})
}

// free moves every stick to both ends in each of two modes and lets all rest in
// each mode.
func (w *builder) free() {
	w.do("signal on")
	w.between(1500, 2500)
	for _, place := range []string{"middle", "back"} {
		w.do("inner %s", place)
		w.between(800, 1200)
		for _, name := range []string{"aileron", "elevator", "rudder"} {
			for _, us := range []int64{988, 2012} {
				w.stick(name, us)
			}
			w.do("release %s", name)
			w.between(600, 900)
		}
		w.holdBoth()
		w.stick("throttle", 2012)
		w.stick("throttle", 1010)
		w.run(16 * unit.Second)
	}
	w.do("inner front")
	w.run(16 * unit.Second)
	w.do("inner back")
	w.between(1000, 2000)
}

// holdBoth holds aileron and elevator at both their ends together, long enough to be looked at.
func (w *builder) holdBoth() {
	for _, us := range []int64{988, 2012} {
		w.stick("aileron", us)
		w.stick("elevator", us)
		w.run(1200 * unit.Millisecond)
	}
	w.do("release aileron")
	w.do("release elevator")
	w.between(600, 900)
}

// drill follows a drill until it has ended.
func (w *builder) drill(name string) {
	w.ended = false
	w.say(name, event.StepBegin, "")
	w.between(300, 600)
	w.say(name, event.StepConfirm, "")
	for deadline := w.at.Add(10 * unit.Minute); !w.ended; {
		require.Less(w.t, w.at, deadline, "the drill %s ends", name)
		if len(w.prompts) == 0 {
			w.run(20 * unit.Millisecond)
			continue
		}
		prompt := w.prompts[0]
		w.prompts = w.prompts[1:]
		w.follow(name, prompt)
	}
	w.do("inner back")
	w.between(300, 500)
	w.do("outer back")
	w.between(2000, 3000)
}

// follow does what a prompt of a drill that tilts asks for.
func (w *builder) follow(name, prompt string) {
	h := operator.Operator{Sheet: w.sheet, Rand: w.rng, ConfirmsTilts: w.taps}
	for _, step := range h.Follow(prompt) {
		w.run(unit.Duration(step.Wait))
		if step.Do != "" {
			w.do("%s", step.Do)
		}
		if step.Enter {
			w.say(name, event.StepDone, prompt)
		}
	}
}

// loss loses the signal with everything away from its preset.
func (w *builder) loss() {
	w.stick("throttle", 1400+w.rng.Int64N(300))
	w.stick("aileron", 1600+w.rng.Int64N(200))
	w.stick("gain", 1950)
	w.do("inner front")
	w.between(1200, 1800)
	w.do("signal off")
	w.between(6000, 7000)
	w.stick("throttle", 1010)
	w.do("release aileron")
	w.do("inner back")
	w.stick("gain", 1756)
	w.between(500, 900)
	w.do("signal on")
	w.between(2500, 3500)
}

// sit makes a whole sitting and returns the claims.
func (w *builder) sit() map[string]*claim.Claim {
	w.free()
	w.drill(drill.Response)
	w.drill(drill.Correction)
	w.loss()
	w.step(&event.Input{At: w.at, Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, c := range w.engine.Claims() {
		found[c.ID] = c
	}
	return found
}
