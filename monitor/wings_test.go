//go:build !race

package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/hands"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/standin"
)

// airframe is a model as the sheet has its outputs and as the simulated receiver
// mixes them.
type airframe struct{ name, sheet, mixes string }

var airframes = []airframe{
	{"wing", `outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}, corrects: [roll]}
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw]}
`, `output 1 by aileron 100% corrects roll
output 2 by elevator 100% corrects pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
`},
	{"elevon", `outputs:
  1: {surface: left elevon, moved_by: {aileron: 0.5, elevator: -0.5}, corrects: [roll, pitch]}
  2: {surface: right elevon, moved_by: {aileron: 0.5, elevator: 0.5}, corrects: [roll, pitch]}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw]}
`, `output 1 by aileron 50% elevator -50% corrects roll pitch
output 2 by aileron 50% elevator 50% corrects roll pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
`},
	{"vtail", `outputs:
  1: {surface: aileron, moved_by: {aileron: 1.0}, corrects: [roll]}
  2: {surface: left tail, moved_by: {elevator: 0.5, rudder: 0.5}, corrects: [pitch, yaw]}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: right tail, moved_by: {elevator: -0.5, rudder: 0.5}, corrects: [pitch, yaw]}
`, `output 1 by aileron 100% corrects roll
output 2 by elevator 50% rudder 50% corrects pitch yaw
output 3 by throttle 100%
output 4 by elevator -50% rudder 50% corrects pitch yaw
`},
}

// leadsSetup is the stabiliser of the starter's Reedwing and a board on its leads.
const leadsSetup = `board leads of main
axis roll aileron left 988
axis pitch elevator back 2012
axis yaw rudder right 2012
gyro gain gain
gyro rate when sel-a 0 1300
gyro off when sel-a 1300 1700
gyro level when sel-a 1700 3000 sel-b 0 1500
gyro rate when sel-a 1700 3000 sel-b 1500 3000
`

// sheetOf is the starter's sheet with the outputs of an airframe.
func sheetOf(t testing.TB, a airframe) *sheet.Sheet {
	before, rest, ok := strings.Cut(string(sheet.Starter()), "outputs:\n  1:")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "\n\n")
	require.True(t, ok)
	s, err := sheet.Read(a.name, []byte(before+a.sheet+"\n"+after))
	require.NoError(t, err)
	return s
}

// builder is hands that follow prompts as they come, on a bench with servo leads.
type builder struct {
	t     testing.TB
	rng   *rand.Rand
	sim   *standin.Sim
	bench *monitor.Bench
	sheet *sheet.Sheet
	at    fact.Time // of the bench
	beat  fact.Time
	taps  bool // an Enter says that the model was tilted

	prompts []string // not yet followed
	ended   bool     // the drill
}

func newBuilder(t testing.TB, a airframe, setup string, seed uint64) *builder {
	text := strings.Replace(model, "hands varied\n", "", 1) + setup + presets + leadsSetup + a.mixes
	return build(t, a, text, seed)
}

func build(t testing.TB, a airframe, text string, seed uint64) *builder {
	script, err := standin.ParseDriven("wings", []byte(text))
	require.NoError(t, err, text)
	w := &builder{t: t, rng: rand.New(rand.NewPCG(seed, 5)), sim: standin.New(script, seed), sheet: sheetOf(t, a), beat: fact.Second}
	w.taps = seed%2 == 1
	w.bench = monitor.New(w.sheet, func(e *fact.Event, _ int64) {
		switch d := e.Data.(type) {
		case fact.PromptData:
			w.prompts = append(w.prompts, d.Prompt)
		case fact.DrillEndedData:
			w.ended = true
			require.Equal(t, "finished", d.How, d.Why)
		case fact.ReasonData:
			require.NotEqual(t, fact.DrillRefused, e.Kind, d.Why)
		}
	})
	in := begin("main", "leads")
	w.bench.Step(&in)
	for tap := range uint8(2) {
		w.bench.Step(&fact.Input{Tap: tap + 1, Kind: fact.TapUp, Data: []byte(`{"port":"simulated"}`)})
	}
	return w
}

// run lets time pass.
func (w *builder) run(d fact.Time) {
	end := w.at + d
	for w.at < end {
		w.at = min(w.at+5*fact.Millisecond, end)
		for _, d := range w.sim.Advance(int64(w.at)) {
			at := fact.Time(d.At) / 1000 * 1000
			w.beats(at)
			w.bench.Step(&fact.Input{At: at, Tap: uint8(d.Tap + 1), Kind: fact.Bytes, Data: d.Data})
		}
		w.beats(w.at)
	}
}

func (w *builder) beats(to fact.Time) {
	for ; w.beat <= to; w.beat += fact.Second {
		w.bench.Step(&fact.Input{At: w.beat, Kind: fact.Beat, Data: binary.BigEndian.AppendUint64(nil, uint64(w.beat))})
	}
}

// between lets from..to milliseconds pass.
func (w *builder) between(from, to int) {
	w.run(fact.Time(from+w.rng.IntN(to-from+1)) * fact.Millisecond)
}

func (w *builder) do(format string, args ...any) {
	require.NoError(w.t, w.sim.Do(int64(w.at), fmt.Sprintf(format, args...)))
}

// stick moves a stick there and waits until it is.
func (w *builder) stick(name string, us int64) {
	d := 400 + w.rng.IntN(400)
	w.do("stick %s %d over %dms", name, us, d)
	w.run(fact.Time(d) * fact.Millisecond)
	w.between(200, 600)
}

func (w *builder) say(name, do, prompt string) {
	data, _ := json.Marshal(fact.Step{Drill: name, Do: do, Prompt: prompt, By: "Ann"})
	w.bench.Step(&fact.Input{At: w.at, Kind: fact.DrillStep, Data: data})
}

// free moves every stick to both ends in each of two modes and lets all rest in
// each mode.
func (w *builder) free() {
	w.do("signal on")
	w.between(1500, 2500)
	for _, place := range []string{"middle", "back"} {
		w.do("sel-a %s", place)
		w.between(800, 1200)
		for _, name := range []string{"aileron", "elevator", "rudder"} {
			for _, us := range []int64{988, 2012} {
				w.stick(name, us)
			}
			w.do("release %s", name)
			w.between(600, 900)
		}
		w.stick("throttle", 2012)
		w.stick("throttle", 1010)
		w.run(16 * fact.Second)
	}
	w.do("sel-a front")
	w.run(16 * fact.Second)
	w.do("sel-a back")
	w.between(1000, 2000)
}

// drill follows a drill until it has ended.
func (w *builder) drill(name string) {
	w.ended = false
	w.say(name, fact.StepBegin, "")
	w.between(300, 600)
	w.say(name, fact.StepConfirm, "")
	for deadline := w.at + 10*fact.Minute; !w.ended; {
		require.Less(w.t, w.at, deadline, "the drill %s ends", name)
		if len(w.prompts) == 0 {
			w.run(20 * fact.Millisecond)
			continue
		}
		prompt := w.prompts[0]
		w.prompts = w.prompts[1:]
		w.follow(name, prompt)
	}
	w.do("sel-a back")
	w.between(300, 500)
	w.do("sel-b back")
	w.between(2000, 3000)
}

// follow does what a prompt of a drill that tilts asks for.
func (w *builder) follow(name, prompt string) {
	h := hands.Hands{Sheet: w.sheet, Rand: w.rng, Taps: w.taps}
	for _, step := range h.Follow(prompt) {
		w.run(fact.Time(step.Wait))
		if step.Do != "" {
			w.do("%s", step.Do)
		}
		if step.Enter {
			w.say(name, fact.StepDone, prompt)
		}
	}
}

// loss loses the signal with everything away from its preset.
func (w *builder) loss() {
	w.stick("throttle", 1400+w.rng.Int64N(300))
	w.stick("aileron", 1600+w.rng.Int64N(200))
	w.stick("gain", 1950)
	w.do("sel-a front")
	w.between(1200, 1800)
	w.do("signal off")
	w.between(6000, 7000)
	w.stick("throttle", 1010)
	w.do("release aileron")
	w.do("sel-a back")
	w.stick("gain", 1756)
	w.between(500, 900)
	w.do("signal on")
	w.between(2500, 3500)
}

// sit makes a whole sitting and returns the claims.
func (w *builder) sit() map[string]*claim.Claim {
	w.free()
	w.drill(fact.ResponseDrill)
	w.drill(fact.CorrectionDrill)
	w.loss()
	w.bench.Step(&fact.Input{At: w.at, Kind: fact.End})
	found := map[string]*claim.Claim{}
	for _, c := range w.bench.Claims() {
		found[c.ID] = c
	}
	return found
}

// leadWays are how bus and board come to the computer.
var leadWays = []struct{ name, setup string }{
	{"plain", "receiver main preset\n"},
	{"clumped", "receiver main preset\nadapter main clump 16ms\n"},
	{"lossy", "receiver main preset period 14ms\nwire main missing 0.5%\n"},
}

// boardWays go with them: settings that must stand below the board's.
var boardWays = map[string]string{
	"clumped": "adapter leads clump 16ms\n",
}

func TestTheCorrectAirframesAreSeenWrongInNothing(t *testing.T) {
	for _, a := range airframes {
		for _, way := range leadWays {
			t.Run(a.name+"/"+way.name, func(t *testing.T) {
				t.Parallel()
				for seed := range seeds(t) {
					a := a
					a.mixes += boardWays[way.name]
					w := newBuilder(t, a, way.setup, seed)
					claims := w.sit()
					for id, c := range claims {
						if c.Verdict == claim.Wrong {
							t.Errorf("seed %d: %s: %s", seed, id, c.Sentence)
						}
					}
					for _, id := range proven {
						if id == "response/unstabilised" && !w.taps {
							require.Contains(t, claims[id].Sentence, "nobody tilted", "nothing proves that there was a tilt")
							continue
						}
						for n := 1; n <= 1 || n <= 4 && strings.HasSuffix(id, "N"); n++ {
							id := strings.Replace(id, "N", fmt.Sprint(n), 1)
							if c, ok := claims[id]; ok && c.Verdict != claim.Right {
								t.Errorf("seed %d: %s is %s: %s", seed, id, c.Verdict, c.Sentence)
							}
						}
					}
				}
			})
		}
	}
}

// proven are the claims that such a sitting settles.
var proven = []string{
	"moves/output:N", "travel/output:N", "pulses/output:N", "jitter/output:N", "failsafe/output:N",
	"response/damped", "response/unstabilised", "response/levelling",
	"correction/pitch/output:N", "correction/roll/output:N", "correction/yaw/output:N",
	"stick/pitch", "stick/roll", "stick/yaw",
}

// leadFamilies are the faults of what a receiver sends to its servos.
var leadFamilies = []struct {
	name  string
	taps  bool // only an Enter at the tilt tells it from nobody tilting
	fault func(r *rand.Rand, a *airframe) (settings string, own []string)
}{
	{"correction of an axis reversed", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		axis := pick(r, "roll", "pitch", "yaw")
		return "fault correction " + axis + " -100%\n", []string{"correction/" + axis + "/output:*"}
	}},
	{"stabiliser dead", true, func(_ *rand.Rand, _ *airframe) (string, []string) {
		return "fault correction all 0%\n", []string{"response/levelling", "response/damped", "correction/*/output:*"}
	}},
	{"limits not learnt", true, func(_ *rand.Rand, _ *airframe) (string, []string) {
		return "fault correction all 3%\n", []string{"response/levelling", "response/damped", "correction/*/output:*"}
	}},
	{"servo reversed", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "4")
		return "fault servo " + n + "\n", []string{"moves/output:" + n}
	}},
	{"another channel mixed in", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		return fmt.Sprintf("fault blend 1 rudder %d%%\n", between(r, 15, 60)), []string{"moves/output:1"}
	}},
	{"limits too narrow", false, func(r *rand.Rand, a *airframe) (string, []string) {
		n, low := pick(r, "1", "2", "4"), between(r, 1150, 1250)
		if a.name != "wing" && n != "4" || a.name == "vtail" && n != "1" { // half of the travel
			low = between(r, 1300, 1370)
		}
		return fmt.Sprintf("fault limits %s %d %d\n", n, low, 3000-low), []string{"travel/output:" + n}
	}},
	{"too much gain", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		return fmt.Sprintf("fault gain roll %d every %dms\n", between(r, 40, 80), between(r, 150, 450)), []string{"steady/output:1", "steady/output:2"}
	}},
	{"output dead", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "3", "4")
		return "fault dead " + n + "\n", []string{"pulses/output:" + n}
	}},
	{"output stuck", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "4")
		return "fault dead " + n + " 1500\n", []string{"moves/output:" + n}
	}},
	{"motor holds on loss", false, func(*rand.Rand, *airframe) (string, []string) {
		return "fault loss 3 holds\n", []string{"failsafe/output:3"}
	}},
	{"surface stops on loss", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "4")
		return "fault loss " + n + " stops\n", []string{"failsafe/output:" + n}
	}},
	{"output pauses", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "3", "4")
		return fmt.Sprintf("fault pause %s every 31s for %dms\n", n, between(r, 400, 900)), []string{"pulses/output:" + n}
	}},
}

func pick(r *rand.Rand, list ...string) string { return list[r.IntN(len(list))] }

func TestEachFaultOfTheLeadsIsSeenWrongInItsOwnClaimAndNoOther(t *testing.T) {
	for _, f := range leadFamilies {
		for _, a := range airframes {
			t.Run(f.name+"/"+a.name, func(t *testing.T) {
				t.Parallel()
				for seed := range seeds(t) {
					faulty, way := a, leadWays[seed%uint64(len(leadWays))]
					settings, own := f.fault(rand.New(rand.NewPCG(seed, 77)), &faulty)
					faulty.mixes += boardWays[way.name] + settings
					w := newBuilder(t, faulty, way.setup, seed)
					w.taps = w.taps || f.taps
					claims := w.sit()
					seen := false
					for id, c := range claims {
						mine := owned(own, id)
						seen = seen || mine && c.Verdict == claim.Wrong
						if c.Verdict == claim.Wrong && !mine {
							t.Errorf("seed %d, %s%s: %s too: %s", seed, way.name, settings, id, c.Sentence)
						}
					}
					if !seen {
						t.Errorf("seed %d, %s, %s: none of %v is seen wrong: %s", seed, way.name, settings, own, sentences(claims, own))
					}
				}
			})
		}
	}
}

func sentences(claims map[string]*claim.Claim, own []string) (s string) {
	for id, c := range claims {
		if owned(own, id) {
			s += fmt.Sprintf("\n  %s is %s: %s", id, c.Verdict, c.Sentence)
		}
	}
	return s
}

// A dead stabiliser looks like nobody tilting, unless somebody says that it was
// tilted: the claims stay open and say so.
func TestNothingFollowsFromATiltThatNobodyConfirms(t *testing.T) {
	a := airframes[0]
	a.mixes += "fault correction all 0%\n"
	w := newBuilder(t, a, "receiver main preset\n", 0)
	claims := w.sit()
	for _, id := range []string{"response/levelling", "correction/pitch/output:2", "correction/roll/output:1", "correction/yaw/output:4"} {
		require.Equal(t, claim.Open, claims[id].Verdict, id)
		require.Contains(t, claims[id].Sentence, "nobody tilted", id)
	}
	require.Equal(t, claim.Open, claims["response/unstabilised"].Verdict, "nothing is what the sheet wants there, but nobody may have tilted")
}
