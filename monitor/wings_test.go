package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
)

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
	for i, a := range airframes {
		for k, way := range leadWays {
			t.Run(a.name+"/"+way.name, func(t *testing.T) {
				t.Parallel()
				for _, seed := range seedsFrom(t, uint64(i+k)%3, 1) {
					a := a
					a.mixes += boardWays[way.name]
					w := newBuilder(t, a, way.setup, seed)
					claims := w.sit()
					for id, c := range claims {
						if c.Verdict == claim.VerdictWrong {
							t.Errorf("seed %d: %s: %s", seed, id, c.Sentence)
						}
					}
					provenHold(t, claims, w.taps, seed)
				}
			})
		}
	}
}

// provenHold holds a sitting to the claims that it settles.
func provenHold(t *testing.T, claims map[string]*claim.Claim, taps bool, seed uint64) {
	for _, id := range proven {
		if id == "response/plain" && !taps {
			require.Contains(t, claims[id].Sentence, "nobody tilted", "nothing proves that there was a tilt")
			continue
		}
		for n := 1; n <= 1 || n <= 4 && strings.HasSuffix(id, "N"); n++ {
			id := strings.Replace(id, "N", fmt.Sprint(n), 1)
			if c, ok := claims[id]; ok && c.Verdict != claim.VerdictRight {
				t.Errorf("seed %d: %s is %s: %s", seed, id, c.Verdict, c.Sentence)
			}
		}
	}
}

// proven are the claims that such a sitting settles.
var proven = []string{
	"moves/output:N", "travel/output:N", "pulses/output:N", "jitter/output:N", "failsafe/output:N",
	"response/damping", "response/plain", "response/upright",
	"correction/pitch/output:N", "correction/roll/output:N", "correction/yaw/output:N",
	"stick/pitch", "stick/roll", "stick/yaw",
}

// leadFamilies are the faults of what a receiver sends to its servos.
var leadFamilies = []struct {
	name  string
	taps  bool // only an Enter at the tilt distinguishes it from nobody tilting
	fault func(r *rand.Rand, a *airframe) (settings string, own []string)
}{
	{"correction of an axis reversed", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		axis := pick(r, "roll", "pitch", "yaw")
		return "fault correction " + axis + " -100%\n", []string{"correction/" + axis + "/output:*"}
	}},
	{"stabiliser dead", true, func(_ *rand.Rand, _ *airframe) (string, []string) {
		return "fault correction all 0%\n", []string{"response/upright", "response/damping", "correction/*/output:*"}
	}},
	{"limits not learnt", true, func(_ *rand.Rand, _ *airframe) (string, []string) {
		return "fault correction all 3%\n", []string{"response/upright", "response/damping", "correction/*/output:*"}
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
		return fmt.Sprintf("fault limits %s %d %d\n", n, low, 3000-low), []string{"travel/output:" + n, "ends/output:" + n}
	}},
	{"less travel wanted", false, func(_ *rand.Rand, a *airframe) (string, []string) {
		a.sheet = strings.Replace(a.sheet, "travel: {from: 988, to: 2012}", "travel: {from: 1300, to: 1700}", 1)
		return "", []string{"ends/output:1"}
	}},
	{"neutral elsewhere in a mode", false, func(r *rand.Rand, _ *airframe) (string, []string) {
		n := pick(r, "1", "2", "4")
		return fmt.Sprintf("fault shift %s rate %d\n", n, between(r, 28, 60)), []string{"shift/output:" + n, "ends/output:" + n}
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
		return "fault dead " + n + " 1500\n", []string{"moves/output:" + n, "ends/output:" + n}
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
	for i, f := range leadFamilies {
		for k, a := range airframes {
			t.Run(f.name+"/"+a.name, func(t *testing.T) {
				t.Parallel()
				for _, seed := range seedsFrom(t, uint64(i+k)%3, 1) { // each way and each hands come up
					faulty, way := a, leadWays[seed%uint64(len(leadWays))]
					settings, own := f.fault(rand.New(rand.NewPCG(seed, 77)), &faulty)
					faulty.mixes += boardWays[way.name] + settings
					w := newBuilder(t, faulty, way.setup, seed)
					w.taps = w.taps || f.taps
					claims := w.sit()
					seen := false
					for id, c := range claims {
						mine := owned(own, id)
						seen = seen || mine && c.Verdict == claim.VerdictWrong
						if c.Verdict == claim.VerdictWrong && !mine {
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
	for _, id := range []string{"response/upright", "correction/pitch/output:2", "correction/roll/output:1", "correction/yaw/output:4"} {
		require.Equal(t, claim.VerdictOpen, claims[id].Verdict, id)
		require.Contains(t, claims[id].Sentence, "nobody tilted", id)
	}
	require.Equal(t, claim.VerdictOpen, claims["response/plain"].Verdict, "nothing is what the sheet wants there, but nobody may have tilted")
}
