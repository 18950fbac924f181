package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
)

// seeds is how many hands each sitting is made with: BENCHPROOF_SEEDS, or a few.
func seeds(t *testing.T) uint64 { return uint64(len(seedsFrom(t, 0, 2))) }

// seedsFrom are as many seeds as BENCHPROOF_SEEDS says, or few, the first of which a
// test chooses: with one alone, its cases still have different hands.
func seedsFrom(t *testing.T, first, few uint64) (list []uint64) {
	if text := os.Getenv("BENCHPROOF_SEEDS"); text != "" {
		n, err := strconv.ParseUint(text, 10, 32)
		require.NoError(t, err)
		require.NotZero(t, n)
		first, few = 0, n
	}
	for seed := range few {
		list = append(list, first+seed)
	}
	return list
}

// ways are how the bus comes to the computer, and what the receiver is like.
var ways = []struct {
	name, setup string
	hiccup      bool
	own         []string // what the way itself may be seen wrong in
}{
	{"plain", "receiver main preset\n", false, nil},
	{"clumped", "receiver main preset\nadapter main clump 16ms\n", false, nil},
	{"missing", "receiver main preset\nwire main missing 0.5%\n", false, nil},
	{"unflagged preset", "receiver main preset flags none\n", true,
		[]string{"link/moving", "failsafe/flag", "failsafe/time"}}, // it goes to presets and does not say so
}

// family is one kind of wrong set-up, with a magnitude by the seed, and the
// claims that it may be seen wrong in: at least the first of them.
type family struct {
	name  string
	fault func(*rand.Rand) string
	own   []string // patterns
}

func plainly(s string) func(*rand.Rand) string { return func(*rand.Rand) string { return s } }

func between(rng *rand.Rand, low, high int) int { return low + rng.IntN(high-low+1) }

var families = []family{
	{"window missed", func(r *rand.Rand) string { return fmt.Sprintf("fault lands inner front %d\n", between(r, 1560, 1690)) },
		[]string{"mode/upright/front/back", "mode/hold-course/front/front", "position/inner/front"}},
	{"margin too small", func(r *rand.Rand) string { return fmt.Sprintf("fault lands inner back %d\n", between(r, 1210, 1290)) },
		[]string{"margin/damping/back", "position/inner/back"}},
	{"combination swapped",
		plainly("fault combo inner front outer back as inner front outer front\nfault combo inner front outer front as " +
			"inner front outer back\n"),
		// outer then changes with inner, and a lever on its way touches a third cell.
		[]string{"mode/upright/front/back", "mode/hold-course/front/front", "passing/plain"}},
	{"passing through", func(r *rand.Rand) string { return fmt.Sprintf("fault slew inner %dms\n", between(r, 300, 500)) },
		[]string{"passing/plain"}},
	{"knob without its curve", plainly("fault range gain 988 2012\n"), []string{"gain/fold", "gain/span", "gain/half"}},
	{"knob reversed", plainly("fault reverse gain\n"), []string{"gain/span", "gain/half"}},
	{"gain fixed at zero", plainly("fault stuck gain 1500\n"), []string{"gain/span", "gain/half"}},
	{"cut ignored", plainly("fault cut ignored\n"), []string{"cut/throttle"}},
	{"neutral off by 12 us", plainly("fault offset elevator 12\n"), []string{"neutral/elevator"}},
	{"end cut off", func(r *rand.Rand) string {
		return fmt.Sprintf("fault clip aileron %d %d\n", between(r, 1080, 1150), between(r, 1850, 1920))
	}, []string{"clip/aileron", "travel/aileron/left", "travel/aileron/right"}},
	{"travel short", func(r *rand.Rand) string { return fmt.Sprintf("fault scale rudder %d%%\n", between(r, 70, 92)) },
		[]string{"travel/rudder/left", "travel/rudder/right"}},
	{"channel reversed", plainly("fault reverse elevator\n"), []string{"order/elevator"}},
	{"channels swapped", plainly("fault swap aileron rudder\n"), []string{"order/aileron", "order/rudder"}},
	{"mix left on", func(r *rand.Rand) string { return fmt.Sprintf("fault mix aileron rudder %d%%\n", between(r, 18, 60)) }, []string{"alone/aileron"}},
	{"teach on a three-position switch", func(r *rand.Rand) string {
		return fmt.Sprintf("fault extra teach halfway %d\n", between(r, 1400, 1600))
	}, []string{"momentary/teach"}},
	{"rest value wrong", func(r *rand.Rand) string { return fmt.Sprintf("fault lands teach rest %d\n", between(r, 1050, 1300)) }, []string{"momentary/teach"}},
	{"another model memory", plainly("fault memory throttle 1100 gain 2012 inner 988 outer 988 teach 988\n"), []string{"answers/controls"}},
}

func TestTheCorrectModelIsSeenWrongInNothing(t *testing.T) {
	for _, way := range ways {
		t.Run(way.name, func(t *testing.T) {
			t.Parallel()
			for seed := range seeds(t) {
				for id, c := range sit(t, "", "", way.setup, way.hiccup, seed) {
					if c.Verdict == claim.VerdictWrong {
						t.Errorf("seed %d: %s: %s", seed, id, c.Sentence)
					}
				}
			}
		})
	}
}

func TestEachFaultIsSeenWrongInItsOwnClaimAndNoOther(t *testing.T) {
	for i, f := range families {
		for k, way := range ways {
			t.Run(f.name+"/"+way.name, func(t *testing.T) {
				t.Parallel()
				for _, seed := range seedsFrom(t, uint64(i+k)%3, 1) {
					rng := rand.New(rand.NewPCG(seed, 77))
					fault := f.fault(rng)
					claims := sit(t, f.name, fault, way.setup, way.hiccup, seed)
					// A limit that was visited once can't be told from a stop of the stick: the end that
					// comes short is seen wrong then, by another of the fault's claims.
					seen := slices.ContainsFunc(f.own, func(id string) bool { return claims[id] != nil && claims[id].Verdict == claim.VerdictWrong })
					if c := claims[f.own[0]]; !seen || c.Verdict == claim.VerdictRight {
						t.Errorf("seed %d, %s: %s is %s: %s", seed, fault, c.ID, c.Verdict, c.Sentence)
					}
					for id, c := range claims {
						if c.Verdict == claim.VerdictWrong && !owned(append(way.own, f.own...), id) {
							t.Errorf("seed %d, %s: %s too: %s", seed, fault, id, c.Sentence)
						}
					}
				}
			})
		}
	}
}

func owned(patterns []string, id string) bool {
	for _, p := range patterns {
		if ok, _ := path.Match(p, id); ok {
			return true
		}
	}
	return false
}

// sit makes a whole sitting: free play, the drills as asked, a loss.
func sit(t *testing.T, family, fault, setup string, hiccup bool, seed uint64) map[string]*claim.Claim {
	sh := starter(t)
	s := &sitting{rng: rand.New(rand.NewPCG(seed, 1)), three: family == "teach on a three-position switch"}
	s.free()
	if hiccup {
		s.do("hiccup main for %dms", between(s.rng, 300, 900))
		s.wait(2e9, 3e9)
		s.home()
	}
	s.drills(sh)
	if !hiccup { // a loss without a flag is a fault of its own
		s.loss()
	}
	return judgeSitting(t, sh, s, setup+fault, seed)
}
