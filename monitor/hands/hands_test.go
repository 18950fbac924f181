package hands_test

import (
	"math/rand/v2"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/hands"
	"benchproof.example/monitor/sheet"
)

func starter(t testing.TB) *sheet.Sheet {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	return s
}

// done is what hands do at a prompt, with numbers as #.
func done(h *hands.Hands, prompt string) (list []string) {
	for _, s := range h.Follow(prompt) {
		switch {
		case s.Enter:
			list = append(list, "Enter")
		case s.Do != "":
			list = append(list, regexp.MustCompile(`\d+`).ReplaceAllString(s.Do, "#"))
		}
	}
	return list
}

func TestHandsFollowPrompts(t *testing.T) {
	for prompt, want := range map[string][]string{
		"response/levelling/1/set":    {"sel-a front", "sel-b back"},
		"response/unstabilised/1/set": {"sel-a middle"},
		"response/levelling/1/count":  nil, // they wait for the third count
		"response/levelling/1/there":  {"tilt pitch # over #ms", "Enter"},
		"response/levelling/1/level":  {"tilt pitch # over #ms"},
		"correction/mode":             {"sel-a front", "sel-b back"},

		"correction/mode/way/1/sel-a/front":         {"sel-a front"},
		"response/levelling/1/set/way/1/sel-b/back": {"sel-b back"},

		"correction/roll/stick":  {"stick aileron # over #ms"},
		"correction/roll/home":   {"release aileron"},
		"correction/roll/there":  {"tilt roll # over #ms", "Enter"},
		"correction/roll/other":  {"tilt roll -# over #ms", "Enter"},
		"correction/yaw/level-2": {"tilt yaw # over #ms"},
		"correction/pitch/eye":   {"stick elevator # over #ms", "Enter", "release elevator"},
		"failsafe/soon/off":      nil, // another drill's
		"order":                  nil,
	} {
		h := &hands.Hands{Sheet: starter(t), Rand: rand.New(rand.NewPCG(1, 2)), Taps: true}
		assert.Equal(t, want, done(h, prompt), prompt)
	}
}

func TestWithoutAHelperNobodyPressesEnter(t *testing.T) {
	h := &hands.Hands{Sheet: starter(t), Rand: rand.New(rand.NewPCG(1, 2))}
	assert.Equal(t, []string{"tilt pitch # over #ms"}, done(h, "response/levelling/1/there"))
}

// Hands are done before a timed prompt runs out, whatever the seed.
func TestHandsAreDoneInTime(t *testing.T) {
	s := starter(t)
	for seed := range uint64(50) {
		h := &hands.Hands{Sheet: s, Rand: rand.New(rand.NewPCG(seed, 2)), Taps: true}
		for _, name := range []string{fact.ResponseDrill, fact.CorrectionDrill} {
			p, ok := drill.Find(drill.Plans(s), name)
			require.True(t, ok)
			for _, prompt := range p.Prompts {
				takes := time.Duration(0)
				for _, step := range h.Follow(prompt.ID) {
					takes += step.Wait
				}
				if prompt.Await.Hold {
					assert.Less(t, takes, time.Duration(prompt.Await.After)-3*time.Second/2, prompt.ID)
				}
			}
		}
	}
}
