package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// model is the simulated bench that hands sit at, and presets those of a receiver that has any.
const (
	model   = "hands varied\n" + simtest.Model
	presets = simtest.Presets
)

// sitting is a builder's hands: what they do and say, when, by a seed.
type sitting struct {
	rng   *rand.Rand
	at    time.Duration
	steps strings.Builder
	says  []event.Input
	heard func(*event.Input) // nil, or is told each input before it is judged

	unread [][2]time.Duration // when the computer does not read, in order

	rear  bool          // a second receiver is listened to
	stays bool          // asked to switch the transmitter off, they forget to
	late  time.Duration // by which the transmitter is on after they said so

	held  string // a stick that a hand holds away from its centre
	three bool   // teach has a third place: it is not pressed but moved
}

func (s *sitting) wait(from, to time.Duration) {
	s.at += from + time.Duration(s.rng.Int64N(int64(to-from)+1))/time.Millisecond*time.Millisecond
}

func (s *sitting) do(format string, args ...any) {
	fmt.Fprintf(&s.steps, "%dms %s\n", s.at.Milliseconds(), fmt.Sprintf(format, args...))
}

func (s *sitting) say(drill, do, prompt string) {
	data, _ := json.Marshal(event.DrillStep{Drill: drill, Do: do, Prompt: prompt})
	s.says = append(s.says, event.Input{At: unit.Time(s.at), Kind: event.InputDrillStep, Data: data})
}

// stick moves a stick there, and the hand takes its time.
func (s *sitting) stick(name string, us unit.Width, slow bool) {
	if s.held != "" && s.held != name { // the hand is needed elsewhere
		s.do("release %s", s.held)
		s.wait(200*time.Millisecond, 400*time.Millisecond)
	}
	if s.held = name; name == "throttle" || name == "gain" {
		s.held = "" // these stay where they are put
	}
	d := 350 + s.rng.IntN(350)
	if slow {
		d = 1100 + s.rng.IntN(500)
	}
	s.do("stick %s %d over %dms", name, us, d)
	s.at += time.Duration(d) * time.Millisecond
}

// free is what a builder does before any drill: each switch through its places.
func (s *sitting) free() {
	s.at = 0
	s.do("signal on")
	s.wait(1500*time.Millisecond, 2500*time.Millisecond)
	for _, step := range []string{"inner middle", "inner front", "outer front", "outer back", "inner back", "inner front", "inner middle", "inner back"} {
		s.do("%s", step)
		s.wait(900*time.Millisecond, 1600*time.Millisecond)
	}
	if s.three {
		for _, place := range []string{"halfway", "pressed", "rest"} {
			s.do("teach %s", place)
			s.wait(700*time.Millisecond, 1200*time.Millisecond)
		}
	} else {
		s.do("press teach for %dms", 300+s.rng.IntN(400))
	}
	s.wait(1500*time.Millisecond, 2*time.Second)
}

// drills follows every drill of the transmitter but the limit learning, as asked.
func (s *sitting) drills(sh *sheet.Sheet) {
	for _, p := range drill.Plans(sh) {
		if p.Name == "limit-learning" || p.Name == drill.Failsafe || p.Leads {
			continue
		}
		s.say(p.Name, event.StepBegin, "")
		s.wait(300*time.Millisecond, 600*time.Millisecond)
		s.say(p.Name, event.StepConfirm, "")
		for _, prompt := range p.Prompts {
			if strings.Contains(prompt.ID, "/way/") { // drawn from nothing, so that seeds keep their hands
				s.at += time.Second / 2
				s.follow(sh, prompt.ID)
				s.at += 3 * time.Second / 2
				s.say(p.Name, event.StepDone, prompt.ID)
				continue
			}
			s.wait(400*time.Millisecond, 900*time.Millisecond)
			s.follow(sh, prompt.ID)
			s.wait(1300*time.Millisecond, 1900*time.Millisecond)
			s.say(p.Name, event.StepDone, prompt.ID)
		}
		s.wait(400*time.Millisecond, 800*time.Millisecond)
		s.home()
	}
}

// follow does what a prompt asks for.
func (s *sitting) follow(sh *sheet.Sheet, id string) {
	part := strings.Split(id, "/")
	switch part[0] {
	case "mode":
		if way := len(part) - 4; way > 1 && part[way] == "way" {
			s.do("%s %s", part[way+2], part[way+3])
			return
		}
		s.switches(sh, part[1], strings.Join(part[2:], "/"))
	case "gain":
		s.stick("gain", map[string]unit.Width{"anticlockwise": 1500, "centre": 1756, "clockwise": 2012}[part[1]], false)
	case "order", "ends":
		c, _ := sh.ByName(part[1])
		width := c.Neutral
		if place, ok := c.Place(part[2]); ok {
			width = place.Width
		}
		s.stick(part[1], width/1000, part[0] == "ends")
	case "neutral":
		s.neutral(part[1])
	}
}

func (s *sitting) switches(sh *sheet.Sheet, mode, positions string) {
	for _, m := range sh.Stabiliser.Modes {
		for _, at := range m.WantedAt {
			var names []string
			for _, set := range at {
				names = append(names, set.Position)
			}
			if m.Name != mode || strings.Join(names, "/") != positions {
				continue
			}
			for _, set := range at {
				c, _ := sh.Channel(set.Channel)
				s.do("%s %s", c.Name, set.Position)
				s.wait(200*time.Millisecond, 600*time.Millisecond)
			}
		}
	}
}

func (s *sitting) neutral(step string) {
	switch step {
	case "idle":
		s.stick("throttle", 1010, false)
	case "cut":
		s.do("cut on")
	case "cut-full":
		s.stick("throttle", 2012, false)
	}
}

// home brings everything back to where it rests.
func (s *sitting) home() {
	for _, n := range []string{"aileron", "elevator", "rudder"} {
		s.stick(n, 1500, false)
	}
	s.stick("throttle", 1010, false)
	s.do("cut off")
	s.wait(200*time.Millisecond, 400*time.Millisecond)
	s.stick("gain", 1756, false)
	s.do("inner back")
	s.wait(300*time.Millisecond, 500*time.Millisecond)
	s.do("outer back")
	s.wait(300*time.Millisecond, 500*time.Millisecond)
}

// loss loses the signal with everything away from its preset.
func (s *sitting) loss() {
	s.stick("throttle", unit.Width(1400+s.rng.Int64N(300)), false)
	s.stick("aileron", unit.Width(1600+s.rng.Int64N(200)), false)
	s.stick("gain", 1950, false)
	s.do("inner front")
	s.wait(800*time.Millisecond, 1200*time.Millisecond)
	s.do("signal off")
	s.wait(4*time.Second, 5*time.Second)
	s.home()
	s.do("signal on")
	s.wait(1500*time.Millisecond, 2*time.Second)
}

// judgeSitting plays a sitting on the simulated bench and returns the claims.
func judgeSitting(t testing.TB, sh *sheet.Sheet, s *sitting, setup string, seed uint64) map[string]*claim.Claim {
	t.Helper()
	text := model + setup + presets + s.steps.String() + fmt.Sprintf("%dms end\n", s.at.Milliseconds())
	scripted, err := script.Parse("sitting", []byte(text))
	require.NoError(t, err, text)
	b := s.judge(sh, world.New(&scripted.Plan, seed), func(*event.Event, int64) {})
	found := map[string]*claim.Claim{}
	for _, c := range b.Claims() {
		found[c.ID] = c
	}
	return found
}

// taps are what is listened to.
func (s *sitting) taps() []string {
	if s.rear {
		return []string{"main", "rear"}
	}
	return []string{"main"}
}

// awake is when the computer does what it should at a moment: a beat that falls into
// a stall comes at its end, those behind it in time.
func (s *sitting) awake(at unit.Duration) unit.Duration {
	for _, u := range s.unread {
		if unit.Duration(u[0]) <= at && at < unit.Duration(u[1]) {
			return unit.Duration(u[1])
		}
	}
	return at
}

// wallAt is the wall clock of a beat, for a bench whose clock is never set.
func wallAt(at unit.Duration) []byte {
	return binary.BigEndian.AppendUint64(nil, uint64(1_700_000_000_000_000_000+at))
}

// judge has an engine hear what a simulated bench delivers, with beats and what the
// builder says.
func (s *sitting) judge(sh *sheet.Sheet, sim *world.Sim, hear engine.EventFunc) *engine.Engine {
	b := engine.New(sh, hear)
	step := func(in *event.Input) {
		if s.heard != nil {
			s.heard(in)
		}
		b.Step(in)
	}
	taps := s.taps()
	in := begin(taps...)
	step(&in)
	for i := range taps {
		step(&event.Input{Tap: uint8(i + 1), Kind: event.InputTapUp, Data: []byte(`{"port":"simulated"}`)})
	}
	says, beat := s.says, unit.Second
	until := func(at unit.Duration) {
		for {
			switch {
			case len(says) > 0 && says[0].At <= unit.Time(min(at, beat)):
				step(&says[0])
				says = says[1:]
			case beat <= at:
				step(&event.Input{At: unit.Time(beat), Kind: event.InputBeat, Data: wallAt(beat)})
				beat = s.awake(beat/unit.Second*unit.Second + unit.Second)
			default:
				return
			}
		}
	}
	for d, ok := sim.Next(); ok; d, ok = sim.Next() {
		at := unit.Duration(d.At) / 1000 * 1000
		until(at)
		step(&event.Input{At: unit.Time(at), Tap: uint8(d.Tap + 1), Kind: event.InputBytes, Data: d.Data})
	}
	end := unit.Duration(s.at) + unit.Second
	until(end)
	step(&event.Input{At: unit.Time(end), Kind: event.InputEnd})
	return b
}
