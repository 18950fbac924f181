package days

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// Heard is a run of inputs, and the sheet by which they are judged.
type Heard struct {
	sheet  *sheet.Sheet
	inputs []event.Input
}

// Judge judges them in a plain loop.
func (h *Heard) Judge() []*claim.Claim {
	e := engine.New(h.sheet, func(*event.Event, int64) {})
	for i := range h.inputs {
		e.Step(&h.inputs[i])
	}
	return e.Claims()
}

// Listen plays a story without what is checked, and gives what was put in, life by life.
func Listen(s *Story) (Played, []Heard, error) {
	d, err := newDay(s, Spoiled{Unchecked: true})
	if err != nil {
		return Played{}, nil, err
	}
	err = d.play()
	heard := make([]Heard, 0, d.played.Lives)
	for life := 1; life <= d.played.Lives; life++ {
		h := Heard{sheet: d.sheet}
		h.begin(0)
		for i := range d.puts {
			if p := &d.puts[i]; p.life == life {
				h.add(p.at, p.tap, p.kind, []byte(p.data))
			}
		}
		heard = append(heard, h)
	}
	return d.played, heard, err
}

func (h *Heard) begin(at unit.Time) { h.starts(at, event.InputBegin) }

func (h *Heard) starts(at unit.Time, kind event.InputKind) {
	data, _ := json.Marshal(event.Start{Build: "day", WallNS: wall + int64(at), Taps: taps()})
	h.add(at, event.BenchTap, kind, data)
}

func (h *Heard) resume(at int64) {
	h.starts(unit.Time(at).Truncate(unit.Microsecond), event.InputResume)
	h.add(unit.Time(at).Truncate(unit.Microsecond), 1, event.InputTapUp, []byte(plugged))
}

func (h *Heard) add(at unit.Time, tap uint8, kind event.InputKind, data []byte) {
	h.inputs = append(h.inputs, event.Input{At: at, Tap: tap, Kind: kind, Data: data})
}

// undisturbed is what an undisturbed daemon would have heard of the bench, which beats so long behind each second,
// and begins anew at some times.
func (d *day) undisturbed(behind int64, anew []int64) *Heard {
	h := &Heard{sheet: d.sheet}
	h.begin(0)
	h.add(0, 1, event.InputTapUp, []byte(plugged))
	c := clockwork{Heard: h, next: cmp.Or(behind, second), anew: anew}
	for i := range d.delivered {
		x := &d.delivered[i]
		c.until(x.At)
		kind := event.InputBytes
		if x.Bad {
			kind = event.InputBadBytes
		}
		if x.Kind == world.Data {
			h.add(unit.Time(x.At).Truncate(unit.Microsecond), uint8(x.Tap+1), kind, x.Data)
		}
	}
	c.until(d.story.Length + second)
	h.add(unit.Time(c.next), event.BenchTap, event.InputEnd, nil)
	return h
}

// clockwork adds what comes by the clock.
type clockwork struct {
	*Heard
	next int64   // beat
	anew []int64 // when a daemon begins anew
}

func (c *clockwork) until(at int64) {
	for {
		switch {
		case len(c.anew) > 0 && c.anew[0] <= min(at, c.next):
			c.resume(c.anew[0])
			c.anew = c.anew[1:]
		case c.next <= at:
			c.beat(c.next)
			c.next += second
		default:
			return
		}
	}
}

func (h *Heard) beat(at int64) {
	h.add(unit.Time(at), event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wall+at)))
}

// checkModel holds the verdicts on the model, at the end of the day, to those of an undisturbed
// one: what is bad with disks, ports and clients accuses no model, and settles nothing about it but
// where judgement began afresh and looked anew, or somebody asked for that. Drills go another way where they are interrupted:
// then hands do other things.
func (d *day) checkModel() (first error) {
	if d.last == nil || d.story.has(drills) {
		return nil
	}
	afresh := d.played.Lives > 1 || len(d.last.gaps) > 0 || d.story.has(changes) || d.story.has(unplugs)
	for _, behind := range append([]int64{0}, d.beats()...) { // silences are seen at beats: a bound may be reached by some and not by others
		for _, anew := range [][]int64{nil, d.anew()} { // who begins anew does not know what a heartbeat did before
			err := d.checkAgainst(d.undisturbed(behind, anew), afresh)
			if err == nil {
				return nil
			}
			first = cmp.Or(first, err)
		}
	}
	return first
}

// anew is when judgement began anew: a daemon was started, the recording got a gap or goes on, or the port was
// there again, or was read again.
func (d *day) anew() (list []int64) {
	for i, at := range d.begun {
		if i > 0 {
			list = append(list, at)
		}
	}
	for _, gap := range d.last.gaps {
		for _, at := range gap {
			if at != unit.Never {
				list = append(list, int64(at))
			}
		}
	}
	for i := range d.story.Happens {
		if h := &d.story.Happens[i]; h.What == clogs || h.What == still || h.What == unplugs {
			list = append(list, h.At+h.For)
		}
	}
	slices.Sort(list)
	return list
}

// beats are how long behind whole seconds each life beats.
func (d *day) beats() (list []int64) {
	for _, at := range d.begun {
		list = append(list, at%second)
	}
	return list
}

// checkAgainst holds them to an undisturbed day.
func (d *day) checkAgainst(undisturbed *Heard, afresh bool) error {
	claims := map[string]*claim.Claim{}
	for _, c := range undisturbed.Judge() {
		claims[c.ID] = c
	}
	for _, c := range d.last.claims {
		of := claims[c.ID]
		if settles(c, of, afresh) {
			return fmt.Errorf("a bad day settles what an undisturbed one does not: %s is %s: %s\nundisturbed it is %s: %s",
				c.ID, c.Verdict, c.Sentence, of.Verdict, of.Sentence)
		}
	}
	return nil
}

// settles reports that a claim about the model says what an undisturbed day does not.
func settles(c, undisturbed *claim.Claim, afresh bool) bool {
	if c.Heading() == claim.HeadingLink || c.Verdict == claim.VerdictOpen || undisturbed.Verdict == c.Verdict {
		return false
	}
	return c.Verdict == claim.VerdictWrong || undisturbed.Verdict == claim.VerdictOpen && !afresh
}
