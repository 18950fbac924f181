package monitor_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/unit"
)

// allDrills are those that hands are led through.
var allDrills = []string{"mode", "gain", "order", "ends", "neutral", "limit-learning", drill.Failsafe,
	drill.PowerUp, drill.Response, drill.Correction, drill.Range}

// drills draws those of a sitting, in any order: some, and those that are wanted.
func (d *drilled) drills(wanted []string) (list []string) {
	for _, i := range d.rng.Perm(len(allDrills)) {
		name := allDrills[i]
		_, ok := d.plan(name)
		often := 55
		if name == drill.Failsafe { // it takes four minutes
			often = 20
		}
		if drawn := d.rng.IntN(100) < often; ok && (drawn || slices.Contains(wanted, name)) {
			list = append(list, name)
		}
	}
	return d.laterDrills(list, wanted)
}

// laterDrills puts those among them that have come since, so that the draws of the others stand.
func (d *drilled) laterDrills(list, wanted []string) []string {
	if _, ok := d.plan(drill.Stir); ok && (slices.Contains(wanted, drill.Stir) || d.craft.soak.rng.IntN(100) < 60) {
		list = slices.Insert(list, d.craft.soak.rng.IntN(len(list)+1), drill.Stir)
	}
	for _, name := range []string{drill.Levelling, drill.KeepStill} {
		if _, ok := d.plan(name); ok && d.craft.soak.rng.IntN(100) < 60 {
			list = slices.Insert(list, d.craft.soak.rng.IntN(len(list)+1), name)
		}
	}
	if _, ok := d.plan(drill.Righting); ok && d.craft.soak.rng.IntN(100) < 60 {
		list = append(list, drill.Righting) // it is shown after what it leans on
	}
	return list
}

// inARow is how near to each other a pair of hands moves two switches, or one twice.
const inARow = 900 * unit.Millisecond

// passedByHand says whether switches were moved in a row before a moment: what was
// asked for in between was asked for.
func (d *drilled) passedByHand(at unit.Time) bool {
	for i := 1; i < len(d.flips) && d.flips[i] <= at; i++ {
		if d.flips[i].Sub(d.flips[i-1]) < inARow {
			return true
		}
	}
	return false
}

// falsely are the claims that were seen wrong and must not be: patterns of those that
// may be.
func (d *drilled) falsely(own []string) (list []string) {
	for id, lines := range d.wrong {
		l := lines[0]
		if owned(own, id) || strings.HasPrefix(id, "passing/") && d.passedByHand(l.at) {
			continue
		}
		list = append(list, fmt.Sprintf("%.3f s, %s: %s", float64(l.at)/1e9, id, l.text))
	}
	slices.Sort(list)
	return list
}

// Over careless hands that do the drills, the correct model is seen wrong in nothing.
func TestNothingFalseOverCarelessDrills(t *testing.T) {
	for seed := range seeds(t) {
		t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
			t.Parallel()
			began := time.Now()
			d := newDrilled(t, newCraft(seed), &broken{}, seed)
			drills := d.drills(nil)
			lines := append(d.stirredFalsely(d.plays(drills)), d.falsely(nil)...)
			for _, l := range lines {
				t.Errorf("seed %d, %s: %s", seed, d.craft.name, l)
			}
			if len(lines) > 0 {
				d.keep("correct "+strconv.FormatUint(seed, 10), &broken{})
			}
			t.Logf("%v %v simulated %v, %d hints, %v", time.Since(began), drills, time.Duration(d.at), d.hints, d.how)
		})
	}
}

// tally counts sittings with a fault by what their sentences say is to be set.
type tally struct {
	sync.Mutex
	sittings, unsure, unseen int
	false                    map[string]int // lines, by family
}

func (y *tally) line(family string) {
	y.Lock()
	defer y.Unlock()
	if y.false == nil {
		y.false = map[string]int{}
	}
	y.false[family]++
}

// judges holds the sitting of a fault to it.
func (d *drilled) judges(t *testing.T, name, family string, f *broken, claims map[string]*claim.Claim, y *tally) (bad bool) {
	y.Lock()
	y.sittings++
	y.Unlock()
	for _, l := range d.falsely(f.own) {
		t.Errorf("%s: %s", name, l)
		y.line(family)
		bad = true
	}
	seen, sure := false, false
	for id, lines := range d.wrong {
		if !owned(f.own, id) || strings.HasPrefix(id, "passing/") && d.passedByHand(lines[0].at) {
			continue
		}
		seen = true
		sure = sure || remedies(lines[len(lines)-1].text, f.cures) == remedyRight // the last word
		for _, l := range lines {
			if how := remedies(l.text, f.cures); how == remedyWrong || how == remedyNothing {
				t.Errorf("%s: %s %s (%v, want %v): %s", name, id, how, settingsIn(l.text), f.cures, l.text)
				y.line(family)
				bad = true
			}
		}
	}
	y.Lock()
	defer y.Unlock()
	switch {
	case !seen:
		y.unseen++
		t.Errorf("%s: none of %v is seen wrong%s", name, f.own, sentences(claims, f.own))
		bad = true
	case !sure:
		y.unsure++
		t.Logf("%s: does not know which: %v", name, d.wrong)
	}
	return bad
}

// weakSupply is of a receiver whose supply gives way where servos work.
var weakSupply = broken{own: []string{"soak/stir"}, drills: []string{drill.Stir}, cures: []string{"supply"}, dips: true}

// drawFault draws a fault that a craft can have.
func drawFault(c *craft) (string, *broken) {
	if c.soak.weak {
		return "supply too weak", &weakSupply
	}
	for {
		list := faultsOfTransmitters
		if c.rng.IntN(2) == 0 {
			list = faultsOfReceivers
		}
		x := list[c.rng.IntN(len(list))]
		if f := x.make(c); f != nil {
			return x.name, f
		}
	}
}

// Over careless hands that do the drills each fault is seen wrong in its own claim and
// no other, and what the sentences say to set is what the script broke.
func TestEachFaultIsSeenOverCarelessDrills(t *testing.T) {
	y := &tally{}
	t.Cleanup(func() {
		t.Logf("%d sittings with a fault: %d not seen, %d do not know which setting it is, false lines %v", y.sittings, y.unseen, y.unsure, y.false)
		if y.sittings >= 10 && y.unsure*10 > y.sittings {
			t.Errorf("%d of %d sittings do not know which setting it is: want a tenth at most", y.unsure, y.sittings)
		}
	})
	for seed := range seeds(t) {
		t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
			t.Parallel()
			c := newCraft(seed + faulty)
			name, f := drawFault(c)
			d := newDrilled(t, c, f, seed)
			claims := d.plays(d.drills(f.drills))
			t.Logf("%s, %v", name, d.how)
			if d.judges(t, fmt.Sprintf("seed %d, %s, %s", seed, c.name, name), name, f, claims, y) {
				d.keep("fault "+strconv.FormatUint(seed, 10), f)
			}
		})
	}
}

// faulty is where the seeds of models with a fault begin.
const faulty = 1_000_000
