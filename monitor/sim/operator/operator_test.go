package operator_test

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/operator"
)

func starter(t testing.TB) *sheet.Sheet {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	return s
}

// done is what hands do at a prompt, with numbers as #.
func done(h *operator.Operator, prompt string) []string { return listed(h.Follow(prompt)) }

func listed(steps []operator.Step) (list []string) {
	for _, s := range steps {
		switch {
		case s.Key != "":
			list = append(list, s.Key)
		case s.Enter:
			list = append(list, strings.TrimSpace("Enter "+s.Words))
		case s.Do != "":
			list = append(list, regexp.MustCompile(`-?[\d.]+(ms|s)?`).ReplaceAllString(s.Do, "#"))
		}
	}
	return list
}

func TestHandsFollowPrompts(t *testing.T) {
	for prompt, want := range map[string][]string{
		"response/upright/1/set":                   {"inner front", "outer back"},
		"response/plain/1/set":                     {"inner middle"},
		"response/upright/1/count":                 nil, // they wait for the third count
		"response/upright/1/there":                 {"tilt pitch # over #", "Enter"},
		"response/upright/1/level":                 {"tilt pitch # over #"},
		"correction/mode":                          {"inner front", "outer back"},
		"correction/mode/way/1/inner/front":        {"inner front"},
		"response/upright/1/set/way/1/outer/back":  {"outer back"},
		"correction/roll/stick":                    {"stick aileron # over #"},
		"correction/roll/home":                     {"release aileron"},
		"correction/roll/there":                    {"tilt roll # over #", "Enter"},
		"correction/roll/other":                    {"tilt roll # over #", "Enter"},
		"correction/yaw/level-2":                   {"tilt yaw # over #"},
		"correction/pitch/eye":                     {"stick elevator # over #", "Enter", "release elevator"},
		"mode/upright/front/back/way/1/outer/back": {"outer back"},
		"mode/upright/front/back":                  {"inner front", "outer back"},
		"gain/centre":                              {"stick gain # over #"},
		"order/aileron/left":                       {"stick aileron # over #"},
		"order/aileron/neutral":                    {"release aileron"},
		"ends/gain/clockwise":                      {"stick gain # over #", "stick gain # over #"},
		"neutral/sticks":                           {"release aileron elevator rudder"},
		"neutral/cut":                              {"stick throttle # over #", "cut on"},
		"neutral/cut-full":                         {"stick throttle # over #"},
		"limit-learning/gesture":                   {"press teach for #", "press teach for #", "press teach for #"},
		"failsafe/soon/wait":                       nil,
		"failsafe/soon/off":                        {"outer back", "signal off"},
		"failsafe/soon/on":                         {"release aileron elevator rudder", "stick throttle # over #", "inner back", "signal on", "Enter"},
		"power-up/on":                              {"power main on"},
		"range/power":                              {"Enter reduced, by its menu"},
		"stir/still":                               {"release aileron elevator rudder", "stick throttle # over #"},
		"stir/stir":                                {"stir aileron elevator rudder for #", "release aileron elevator rudder"},
		"another":                                  nil,
	} {
		h := &operator.Operator{Sheet: starter(t), Rand: rand.New(rand.NewPCG(1, 2)), ConfirmsTilts: true, Bus: "main", Home: []string{"inner back"}}
		assert.Equal(t, want, done(h, prompt), prompt)
	}
}

// Who adds a drill says how hands follow it: the demo and the careless sittings do so.
func TestHandsFollowEachDrill(t *testing.T) {
	s := starter(t)
	h := &operator.Operator{Sheet: s, Rand: rand.New(rand.NewPCG(1, 2)), Bus: "main"}
	for _, p := range drill.Plans(s) {
		steps := 0
		for _, q := range p.Prompts {
			steps += len(h.Follow(q.ID))
		}
		assert.Positive(t, steps, "the drill %s", p.Name)
	}
}

// The hand that is needed elsewhere lets go of the stick that it held.
func TestAHandLetsGoOfAnotherStick(t *testing.T) {
	h := &operator.Operator{Sheet: starter(t), Rand: rand.New(rand.NewPCG(1, 2))}
	done(h, "ends/aileron/right")
	assert.Equal(t, []string{"release aileron", "stick elevator # over #"}, done(h, "ends/elevator/back"))
}

func TestMistakes(t *testing.T) {
	for _, x := range []struct {
		mistake operator.Slip
		prompt  string
		want    []string
	}{
		{operator.WrongStick, "order/throttle/full", []string{"stick aileron # over #", "release aileron", "stick throttle # over #"}},
		{operator.WrongKey, "gain/centre", []string{"stick aileron # over #", "Enter", "release aileron", "stick gain # over #"}},
		{operator.EarlyEnter, "order/aileron/left", []string{"Enter", "stick aileron # over #"}},
		{operator.HastyEnter, "correction/roll/there", []string{"Enter", "tilt roll # over #"}},
		{operator.TwoSwitches, "mode/damping/back", []string{"inner back", "outer back", "inner back", "inner back"}},
		{operator.TrimOff, "gain/centre", []string{"trim aileron #", "trim aileron #", "stick gain # over #"}},
		{operator.Pause, "order/aileron/left", []string{"stick aileron # over #", "stick aileron # over #"}},
		{operator.Repeat, "order/aileron/left", []string{"repeat", "stick aileron # over #"}},
		{operator.Back, "order/aileron/right", []string{"back"}},
		{operator.Back, "power-up/on", []string{"power  on"}},
		{operator.WrongStick, "correction/roll/there", []string{"tilt roll # over #"}},
	} {
		h := &operator.Operator{Sheet: starter(t), Rand: rand.New(rand.NewPCG(2, 2)), Home: []string{"inner back"}}
		steps, made := h.FollowWithSlip(x.prompt, x.mistake)
		got := listed(steps)
		assert.Equal(t, len(x.want) > 1 || x.mistake == operator.Back && x.want[0] == "back", made, "%s, %s", x.prompt, x.mistake)
		require.Len(t, got, len(x.want), "%s, %s: %v", x.prompt, x.mistake, got)
		for i, want := range x.want {
			verb, _, _ := strings.Cut(want, " ") // which other control it is, the seed draws
			assert.True(t, strings.HasPrefix(got[i], verb), "%s, %s: %v", x.prompt, x.mistake, got)
		}
		assert.Equal(t, x.want[len(x.want)-1], got[len(got)-1], "%s, %s: it ends with what is right", x.prompt, x.mistake)
	}
}

func TestWithoutAHelperNobodyPressesEnter(t *testing.T) {
	h := &operator.Operator{Sheet: starter(t), Rand: rand.New(rand.NewPCG(1, 2))}
	assert.Equal(t, []string{"tilt pitch # over #"}, done(h, "response/upright/1/there"))
}

// Hands are done before a timed prompt runs out, whatever the seed.
func TestHandsAreDoneInTime(t *testing.T) {
	s := starter(t)
	for seed := range uint64(50) {
		h := &operator.Operator{Sheet: s, Rand: rand.New(rand.NewPCG(seed, 2)), ConfirmsTilts: true}
		for _, name := range []string{drill.Response, drill.Correction} {
			p, ok := drill.Find(drill.Plans(s), name)
			require.True(t, ok)
			for _, prompt := range p.Prompts {
				takes := time.Duration(0)
				for _, step := range h.Follow(prompt.ID) {
					takes += step.Wait
				}
				if prompt.Until.Hold {
					assert.Less(t, takes, time.Duration(prompt.Until.After)-3*time.Second/2, prompt.ID)
				}
			}
		}
	}
}
