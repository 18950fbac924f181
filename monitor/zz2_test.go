package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
	"os"
	"strconv"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/standin"
)

func TestXX(t *testing.T) {
	want := os.Getenv("KIND")
	seed, _ := strconv.ParseUint(os.Getenv("SEED"), 10, 64)
	sh := starter(t)
	for _, kind := range standin.Receivers() {
		if kind.Name != want {
			continue
		}
		s := &sitting{rng: rand.New(rand.NewPCG(seed, 1))}
		s.do("signal on")
		s.wait(1500*time.Millisecond, 2500*time.Millisecond)
		s.failsafeDrill(t, sh, 6*time.Second)
		text := model + kind.Setup + s.steps.String() + fmt.Sprintf("%dms end\n", s.at.Milliseconds())
		script, _ := standin.Parse("losses", []byte(text))
		sim := standin.New(script, seed)
		s.judge(sh, sim, func(e *fact.Event, _ int64) {
			if e.Kind == fact.VerdictChanged {
				return
			}
			line := say.Event(e)
			if len(line) > 150 {
				line = line[:150]
			}
			fmt.Println(say.Clock(e.From), say.Clock(e.At), e.Kind, line)
		})
	}
}
