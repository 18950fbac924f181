package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

// soaked is the long run that a sheet declares, by a seed: its limits, which hold or do not.
type soaked struct {
	rng     *rand.Rand
	section string // of the sheet, "": it declares none
	long    bool   // hours are run
	stirred bool   // the stir drill is done
}

// drawSoak draws from nothing, so that seeds keep their hands.
func drawSoak(seed uint64) soaked {
	k := soaked{rng: rand.New(rand.NewPCG(seed, 14))}
	if k.rng.IntN(100) < 45 {
		k.section = fmt.Sprintf("soak: {receiver_supply: a pack, at_most_one_in: %dh, missed_at_most: \"%s\"}\n",
			one(k.rng, 1, 1, 1, 3, 50, 500), one(k.rng, "0.01 %", "0.1 %", "0.5 %", "2 %", "8 %", "20 %"))
		k.long, k.stirred = k.rng.IntN(100) < 70, k.rng.IntN(100) < 50
	}
	return k
}

func (k *soaked) between(from, to time.Duration) time.Duration {
	return from + time.Duration(k.rng.Int64N(int64(to-from)+1))/time.Millisecond*time.Millisecond
}

// soaks stirs in the drill and lets hours pass, with outages in them.
func (c *careless) soaks(t testing.TB) {
	k := &c.soak
	hands := c.rng
	c.rng = k.rng
	defer func() { c.rng = hands }()
	if k.stirred {
		c.stirDrill(t)
	}
	if !k.long {
		return
	}
	for range between(k.rng, 0, 4) {
		c.at += k.between(20*time.Minute, 50*time.Minute)
		c.outage()
	}
	if k.rng.IntN(2) == 0 {
		c.at += k.between(4*time.Hour, 6*time.Hour)
	}
}

// outage is one of those that a long run has: of the signal, the supply, or the line.
func (c *careless) outage() {
	k := &c.soak
	off, on := "signal off main", "signal on main"
	switch k.rng.IntN(6) {
	case 0:
		off, on = "power main off", "power main on"
	case 1:
		c.do("mute main for %dms", between(k.rng, 200, 9000))
		c.at += 10 * time.Second
		return
	}
	c.do("%s", off)
	c.at += k.between(300*time.Millisecond, 20*time.Second)
	c.do("%s", on)
	c.at += k.between(8*time.Second, 15*time.Second)
}

// stirDrill has hands stir as the drill asks, for long enough or not, on a supply that gives
// way or does not.
func (c *careless) stirDrill(t testing.TB) {
	k := &c.soak
	c.home()
	c.held = ""
	c.wait(time.Second, 2*time.Second)
	p, ok := drill.Find(drill.Plans(c.sh), drill.Stir)
	if !ok {
		t.Fatal("the sheet names a supply")
	}
	c.say(p.Name, event.StepBegin, "")
	c.at += 500 * time.Millisecond
	c.say(p.Name, event.StepConfirm, "")
	rested := c.at
	c.at += 60500 * time.Millisecond
	if k.rng.IntN(6) == 0 {
		c.dip(rested+k.between(3*time.Second, 50*time.Second), k)
	}
	stirs := k.between(10*time.Second, 57*time.Second)
	axes := one(k.rng, "aileron elevator rudder", "aileron elevator rudder", "aileron elevator rudder", "aileron elevator")
	c.do("stir %s for %v", axes, stirs)
	for range one(k.rng, 0, 0, 1, 2, 4) {
		c.dip(c.at+k.between(2*time.Second, 55*time.Second), k)
	}
	c.at += 64 * time.Second
}

// dip is one of the supply, or a frame's hiccup of the line.
func (c *careless) dip(at time.Duration, k *soaked) {
	if k.rng.IntN(4) == 0 {
		c.also = append(c.also, aside{at, fmt.Sprintf("mute main for %dms", between(k.rng, 30, 400))})
		return
	}
	c.also = append(c.also, aside{at, "power main off"}, aside{at + k.between(60*time.Millisecond, 1500*time.Millisecond), "power main on"})
}

// limited is a long run whose limits hold, or do not, by what its script does: outages that
// are rare or frequent, frames that are missed or not, a supply that gives way or does not.
type limited struct {
	c     *careless
	wants map[string]claim.Verdict
}

// newLimited draws a limit and a run on either side of it, well away.
func newLimited(t testing.TB, seed uint64, holds bool) *limited {
	c := &careless{sitting: &sitting{rng: rand.New(rand.NewPCG(seed, 15))}, throttle: 1010, period: 22 * time.Millisecond}
	c.soak = soaked{rng: c.rng}
	l := &limited{c: c, wants: map[string]claim.Verdict{"soak/outages": claim.VerdictWrong, "soak/missed": claim.VerdictWrong, "soak/stir": claim.VerdictWrong}}
	outages, oneIn, share, dips := between(c.rng, 3, 5), between(c.rng, 40, 200), between(c.rng, 3, 9), between(c.rng, 2, 5)
	if holds {
		for id := range l.wants {
			l.wants[id] = claim.VerdictRight
		}
		outages, oneIn, share, dips = between(c.rng, 0, 1), 1, between(c.rng, 120, 400), 0
	}
	c.sh = sheetRead(t, edited(t, string(sheettest.TwoSwitches()), "heartbeat:\n", 2, "")+
		fmt.Sprintf("soak: {receiver_supply: a pack, at_most_one_in: %dh, missed_at_most: \"0.%03d %%\"}\n", oneIn, share))
	c.setup = fmt.Sprintf("receiver main preset period 22ms flagged 1s..2s\n%slink main loss 0.015%% burst %d\n", presets, between(c.rng, 1, 2))
	c.do("signal on")
	c.at += 4 * time.Second
	c.stirsAll(dips)
	for range outages {
		c.at += c.soak.between(33*time.Minute, 45*time.Minute)
		c.do("signal off main")
		c.at += c.soak.between(3*time.Second, 20*time.Second)
		c.do("signal on main")
	}
	c.at += time.Hour
	if holds { // 3.8 h without an outage bear out one an hour, 6.7 h with one
		c.at += time.Duration(3+3*outages)*time.Hour + c.soak.between(0, 20*time.Minute)
	}
	return l
}

// stirsAll does the stir drill as it should be done, with so many dips of the supply.
func (c *careless) stirsAll(dips int) {
	c.say(drill.Stir, event.StepBegin, "")
	c.at += 500 * time.Millisecond
	c.say(drill.Stir, event.StepConfirm, "")
	c.at += 60500 * time.Millisecond
	c.do("stir aileron elevator rudder for 57s")
	for n := range dips {
		at := c.at + time.Duration(5+10*n)*time.Second + c.soak.between(0, 5*time.Second)
		c.also = append(c.also, aside{at, "power main off"}, aside{at + c.soak.between(150*time.Millisecond, 1200*time.Millisecond), "power main on"})
	}
	c.at += 64 * time.Second
}

// Limits of a long run that hold are seen right, and those that do not are seen wrong.
func TestEachLimitOfALongRunIsSeen(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for _, holds := range []bool{true, false} {
			t.Run(fmt.Sprintf("%d, holds %v", seed, holds), func(t *testing.T) {
				t.Parallel()
				l := newLimited(t, seed, holds)
				verdicts := map[string]claim.Verdict{}
				said := map[string]string{}
				lines, w := l.c.judgedTo(t, seed, func(id string, v claim.Verdict, sentence string) { verdicts[id], said[id] = v, sentence })
				l.c.complain(t, fmt.Sprintf("seed %d, holds %v", seed, holds), lines, w)
				for id, want := range l.wants {
					assert.Equal(t, want, verdicts[id], "%s: %s", id, said[id])
				}
			})
		}
	}
}
