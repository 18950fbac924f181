package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// failsafeDrill goes through the failsafe drill as its prompts ask.
func (s *sitting) failsafeDrill(t *testing.T, sh *sheet.Sheet, offFor time.Duration) {
	p, ok := drill.Find(drill.Plans(sh), drill.Failsafe)
	require.True(t, ok)
	s.say(p.Name, event.StepBegin, "")
	s.wait(300*time.Millisecond, 600*time.Millisecond)
	s.say(p.Name, event.StepConfirm, "")
	for _, prompt := range p.Prompts {
		s.wait(400*time.Millisecond, 900*time.Millisecond)
		switch event.PromptPart(prompt.ID) {
		case "wait":
			s.at += 2 * time.Minute
		case event.PromptAway:
			s.stick("throttle", unit.Width(1400+s.rng.Int64N(300)), false)
			s.stick("gain", unit.Width(1920+s.rng.Int64N(60)), false)
			s.do("inner front")
			s.wait(1300*time.Millisecond, 1900*time.Millisecond)
		case event.PromptOff:
			s.do("stir aileron elevator for 6s")
			s.wait(1500*time.Millisecond, 2500*time.Millisecond)
			if !s.stays {
				s.do("signal off")
			}
			s.at += 5 * time.Second
			s.say(p.Name, event.StepDone, prompt.ID)
		case event.PromptSettle:
			s.at += offFor
			s.say(p.Name, event.StepDone, prompt.ID)
		case event.PromptOn:
			s.home()
			s.say(p.Name, event.StepDone, prompt.ID)
			s.at += s.late
			s.do("signal on")
		case event.PromptBack:
			s.at += 8 * time.Second
			s.say(p.Name, event.StepDone, prompt.ID)
		}
	}
}

// measure plays a failsafe drill and returns what was measured.
func measure(t *testing.T, sh *sheet.Sheet, setup string, seed uint64) (losses []event.LossData, truth []world.Truth) {
	s := &sitting{rng: rand.New(rand.NewPCG(seed, 1))}
	s.do("signal on")
	s.wait(1500*time.Millisecond, 2500*time.Millisecond)
	s.failsafeDrill(t, sh, 6*time.Second)
	text := model + setup + s.steps.String() + fmt.Sprintf("%dms end\n", s.at.Milliseconds())
	scripted, err := script.Parse("losses", []byte(text))
	require.NoError(t, err, text)
	sim := world.New(&scripted.Plan, seed)
	sim.KeepTruth = true
	s.judge(sh, sim, func(e *event.Event, _ int64) {
		if d, ok := e.Data.(event.LossData); ok {
			losses = append(losses, d)
		}
	})
	return losses, sim.Truth()
}

// outcome is what a kind of receiver must be reported as, in the first round of the
// drill and in the second.
type outcome struct {
	class event.LossClass
	flag  event.FlagClass
	soon  []string // codes of the findings
	later []string // nil: as soon
}

const (
	wrong  = claim.CodeElsewhere
	modeOf = claim.CodeModeElsewhere
)

// held is what a sheet with presets has to say of a receiver that holds.
func held(more ...string) []string {
	return append([]string{claim.CodeThrottleUp, wrong, wrong, modeOf}, more...)
}

// The sheet wants throttle, gain, inner and teach at presets and the rest held. A
// stick that is stirred is held as it should be, so presets make it mixed.
var outcomes = map[string]outcome{
	"preset":               {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"preset-failsafe-only": {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"preset-lost-only":     {event.LossMixed, event.FlagClassLostOnly, []string{claim.CodeFlagNever}, nil},
	"preset-unflagged":     {event.LossMixed, event.FlagClassNever, []string{claim.CodeFlagNever}, nil},
	"preset-flagged-late":  {event.LossMixed, event.FlagClassLate, []string{claim.CodeFlagLate}, nil},
	"preset-held-first":    {event.LossMixed, event.FlagClassInTime, []string{claim.CodeShortHold}, nil},
	"preset-ramp":          {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"mixed":                {event.LossMixed, event.FlagClassInTime, []string{wrong, modeOf}, nil},
	"mixed-unflagged":      {event.LossMixed, event.FlagClassNever, []string{wrong, modeOf, claim.CodeFlagNever}, nil},
	"hold":                 {event.LossHold, event.FlagClassInTime, held(claim.CodeNoPresetsYet), held()},
	"hold-unflagged":       {event.LossHold, event.FlagClassNever, held(claim.CodeFlagNever, claim.CodeNoPresetsYet), held(claim.CodeFlagNever)},
	"hold-flagged-late":    {event.LossHold, event.FlagClassLate, held(claim.CodeFlagLate, claim.CodeNoPresetsYet), held(claim.CodeFlagLate)},
	"silent":               {event.LossSilent, event.FlagClassLostOnly, []string{claim.CodeFlagNever}, nil},
	"silent-flagged":       {event.LossSilent, event.FlagClassInTime, []string{}, nil},
	"silent-unflagged":     {event.LossSilent, event.FlagClassNever, []string{claim.CodeFlagNever}, nil},
	"throttle-above-cut":   {event.LossMixed, event.FlagClassInTime, []string{claim.CodeThrottleUp}, nil},
	"mirrored-throttle":    {event.LossMixed, event.FlagClassInTime, []string{claim.CodeThrottleUp, claim.CodeMirrored}, nil},
	"mirrored-gain":        {event.LossMixed, event.FlagClassInTime, []string{wrong, claim.CodeMirrored}, nil},
	"gain-zero":            {event.LossMixed, event.FlagClassInTime, []string{wrong, claim.CodeGainZero}, nil},
	"learn-pressed":        {event.LossMixed, event.FlagClassInTime, []string{claim.CodeNotAtRest, claim.CodeMirrored}, nil},
	"mode-elsewhere":       {event.LossMixed, event.FlagClassInTime, []string{wrong, modeOf}, nil},
	"regain-late":          {event.LossMixed, event.FlagClassInTime, []string{claim.CodeBackLate}, nil},
	"warning":              {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"stabilised":           {event.LossMoving, event.FlagClassInTime, []string{}, nil},
	"stabilised-always":    {event.LossMoving, event.FlagClassInTime, []string{}, nil},
	"second-follows":       {event.LossNone, event.FlagClassNever, []string{claim.CodeNothingLost}, nil},
	"second-moves":         {event.LossNone, event.FlagClassNever, []string{claim.CodeNothingLost}, nil},
	"takeover":             {event.LossNone, event.FlagClassNever, []string{claim.CodeNothingLost}, nil},
	"wakes-neutral":        {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"wakes-silent":         {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"wakes-unflagged":      {event.LossMixed, event.FlagClassInTime, []string{}, nil},
	"wakes-flagged":        {event.LossMixed, event.FlagClassNever, []string{claim.CodeFlagNever}, nil},

	// What these send can't be distinguished from a receiver that holds, or that has presets,
	// and says nothing; the answer names the possibility.
	"second-holds": {event.LossHold, event.FlagClassNever, held(claim.CodeFlagNever, claim.CodeNoPresetsYet), held(claim.CodeFlagNever)},
	"second-rests": {event.LossPreset, event.FlagClassNever, []string{modeOf, claim.CodeFlagNever}, nil},
}

// In the first round these hold, since no preset was sent yet.
var taught = [2]outcome{
	{event.LossHold, event.FlagClassInTime, held(claim.CodeNoPresetsYet), nil},
	{event.LossMixed, event.FlagClassInTime, []string{}, nil},
}

func (o outcome) round(i int) []string {
	if i > 0 && o.later != nil {
		return o.later
	}
	return o.soon
}

func TestEachReceiverIsTold(t *testing.T) {
	for _, kind := range script.Receivers() {
		for _, way := range []struct {
			name, setup string
			late        unit.Duration
		}{{"plain", "", 0}, {"clumped", "adapter main clump 16ms\n", 16 * unit.Millisecond}} {
			t.Run(kind.Name+"/"+way.name, func(t *testing.T) {
				t.Parallel()
				sh := starter(t)
				for _, seed := range seedsFrom(t, 0, 1) {
					losses, truth := measure(t, sh, kind.Setup+way.setup, seed)
					at := fmt.Sprintf("seed %d", seed)
					if kind.Name == "regain-never" {
						require.Len(t, losses, 1, at)
						require.Equal(t, []string{claim.CodeBackNever}, codes(sh, &losses[0]), at)
						continue
					}
					require.Len(t, losses, 2, at)
					for i := range losses {
						checkLoss(t, sh, kind.Name, i, &losses[i], fmt.Sprintf("seed %d, round %d", seed, i))
						if losses[i].Class != event.LossNone && !strings.HasPrefix(kind.Name, "second") {
							inTime(t, sh, &losses[i], truth, way.late, at)
						}
					}
				}
			})
		}
	}
}

// checkLoss holds class, flag and findings of a round to what they must be for its kind.
func checkLoss(t *testing.T, sh *sheet.Sheet, kind string, round int, d *event.LossData, at string) {
	t.Helper()
	o, known := outcomes[kind]
	if kind == "taught" {
		o, known = taught[round], true
	}
	require.True(t, known, "an outcome for each kind")
	class := d.Class
	stirred := []event.LossClass{d.Channels[0].Class, d.Channels[1].Class}
	if class == event.LossPreset && o.class == event.LossMixed && !slices.Contains(stirred, event.LossHold) {
		class = event.LossMixed // both axes broke off near where they rest: that shows no hold
	}
	require.Equal(t, o.class, class, "%s: %+v", at, d)
	require.Equal(t, o.flag, d.Flag, "%s: %+v", at, d)
	if kind == "second-rests" { // how many channels it moves is up to where the sticks were
		require.Subset(t, codes(sh, d), o.soon, "%s: %+v", at, d)
		return
	}
	require.Equal(t, o.round(round), codes(sh, d), "%s: %+v", at, d)
}

func codes(sh *sheet.Sheet, d *event.LossData) []string {
	list := []string{}
	for _, f := range claim.Findings(sh, d) {
		list = append(list, f.Code)
	}
	return list
}

// inTime holds the figures to what really happened: within one period and what the
// adapter may be late.
func inTime(t *testing.T, sh *sheet.Sheet, d *event.LossData, truth []world.Truth, late unit.Duration, at string) {
	t.Helper()
	live := lastLive(truth, d.LiveNS)
	near := func(what string, after unit.Duration, kind, about string, to ...string) {
		t.Helper()
		if after < 0 {
			return
		}
		want := firstAfter(truth, live, kind, about, to...)
		require.InDelta(t, float64(want), float64(d.LiveNS.Add(after)), float64(8*unit.Millisecond+late), "%s: %s: %+v", at, what, d)
	}
	require.InDelta(t, float64(live), float64(d.LiveNS), float64(8*unit.Millisecond+late), "%s: the last live frame: %+v", at, d)
	near("the first frame flagged as lost", d.LostNS, "flags", "main", "lost", "both")
	near("the failsafe flag", d.FailsafeNS, "flags", "main", "failsafe", "both")
	near("the last frame before the silence", d.SilentNS, "bus", "main", "silent")
	near("the first live frame", d.BackNS, "frame", "main", "first-live")
	for i := range sh.Channels {
		if c := &sh.Channels[i]; d.Channels[c.Number-1].Class == event.LossPreset {
			near(c.Name+" at its preset", d.Channels[c.Number-1].SettledNS, "channel", "main/"+c.Name, "preset")
		}
	}
}

// lastLive is the last live frame before a loss that is nearest to a date.
func lastLive(truth []world.Truth, to unit.Time) (live unit.Time) {
	live = -1
	for _, x := range truth {
		if x.Kind == "frame" && x.To == "last-live" && (live < 0 || unit.Abs(unit.Time(x.At).Sub(to)) < unit.Abs(live.Sub(to))) {
			live = unit.Time(x.At)
		}
	}
	return live
}

func firstAfter(truth []world.Truth, live unit.Time, kind, about string, to ...string) unit.Time {
	for _, x := range truth {
		if x.Kind == kind && x.About == about && slices.Contains(to, x.To) && unit.Time(x.At) > live {
			return unit.Time(x.At)
		}
	}
	return -1
}
