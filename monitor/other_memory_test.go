package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/simtest"
)

// refusing is the starter's sheet of a receiver that hears this model's memory alone.
func refusing(t testing.TB) []byte {
	text, _, _ := strings.Cut(string(sheet.Starter()), "\nheartbeat:\n")
	text = strings.Replace(text, "\n  within: 1.5s ", "\n  other_memory: refused\n  within: 1.5s ", 1)
	require.Contains(t, text, "other_memory")
	return []byte(text)
}

// A receiver that hears any memory is seen wrong in that, and in nothing else; one that refuses others is seen right. Hands that
// select none, go back too soon or in the middle, or move no stick leave it open, whatever the receiver does.
func TestAnotherModelMemory(t *testing.T) {
	seeds := 2
	if n, err := strconv.Atoi(os.Getenv("BENCHPROOF_SEEDS")); err == nil {
		seeds = n
	}
	for memories, want := range map[operator.Memories]claim.Verdict{
		operator.Refused: claim.VerdictRight, operator.AnyHeard: claim.VerdictWrong,
		operator.NeverSelected: claim.VerdictOpen, operator.BackTooSoon: claim.VerdictOpen, operator.NobodyMoves: claim.VerdictOpen,
		operator.InTheMiddle: claim.VerdictOpen,
	} {
		for seed := range seeds {
			t.Run(fmt.Sprintf("%s/%d", memories, seed), func(t *testing.T) {
				t.Parallel()
				rng := rand.New(rand.NewPCG(uint64(seed), 47))
				kind := one(rng, "preset", "preset after 500ms..1200ms", "preset flags failsafe", "preset ramp 200ms..400ms")
				b := aboveSheet(t, refusing(t), simtest.Reedwing+strings.Replace(reedwing, "receiver main preset", "receiver main "+kind, 1)+airframes[0].mixes)
				b.rng = rng
				o := obedient{b, operator.Operator{Sheet: b.sheet, Rand: rng, Bus: "main", Memories: memories,
					Home: []string{"aid first", "stick strength 1485 over 500ms"}}}
				for _, c := range o.sits(drill.OtherMemory) {
					switch {
					case c.Family == claim.FamilyMemory:
						assert.Equal(t, want, c.Verdict, "%s: %s: %s", kind, c.ID, c.Sentence)
						if want == claim.VerdictRight { // a transmitter that is off looks the same
							assert.Contains(t, c.Sentence, "that it sent meanwhile is not on the wire")
						}
					default:
						assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s: %s", kind, c.ID, c.Sentence)
					}
				}
			})
		}
	}
}
