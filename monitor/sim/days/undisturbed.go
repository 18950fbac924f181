package days

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"

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

func (h *Heard) begin(at unit.Time) {
	data, _ := json.Marshal(event.Start{Build: "day", WallNS: wall, Taps: taps()})
	h.add(at, event.BenchTap, event.InputBegin, data)
}

func (h *Heard) add(at unit.Time, tap uint8, kind event.InputKind, data []byte) {
	h.inputs = append(h.inputs, event.Input{At: at, Tap: tap, Kind: kind, Data: data})
}

// undisturbed is what an undisturbed daemon would have heard of the bench, which beats so long behind each second.
func (d *day) undisturbed(behind int64) *Heard {
	h := &Heard{sheet: d.sheet}
	h.begin(0)
	h.add(0, 1, event.InputTapUp, []byte(plugged))
	next := cmp.Or(behind, second)
	for i := range d.delivered {
		x := &d.delivered[i]
		for ; next <= x.At; next += second {
			h.beat(next)
		}
		kind := event.InputBytes
		if x.Bad {
			kind = event.InputBadBytes
		}
		if x.Kind == world.Data {
			h.add(unit.Time(x.At).Truncate(unit.Microsecond), uint8(x.Tap+1), kind, x.Data)
		}
	}
	for ; next <= d.story.Length+second; next += second {
		h.beat(next)
	}
	h.add(unit.Time(next), event.BenchTap, event.InputEnd, nil)
	return h
}

func (h *Heard) beat(at int64) {
	h.add(unit.Time(at), event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wall+at)))
}

// checkModel holds the verdicts on the model, at the end of the day, to those of an undisturbed
// one: what is bad with disks, ports and clients accuses no model, and settles nothing about it but
// where judgement began afresh and looked anew, or somebody asked for that. Drills go another way where they are interrupted:
// then hands do other things.
func (d *day) checkModel() error {
	if d.last == nil || d.story.has(drills) {
		return nil
	}
	afresh := d.played.Lives > 1 || len(d.last.gaps) > 0 || d.story.has(changes) || d.story.has(unplugs)
	err := d.checkAgainst(0, afresh)
	for _, behind := range d.beats { // silences are seen at beats: a bound may be reached by some and not by others
		if err != nil {
			err = d.checkAgainst(behind, afresh)
		}
	}
	return err
}

// checkAgainst holds them to an undisturbed day which beats so long behind each second.
func (d *day) checkAgainst(behind int64, afresh bool) error {
	claims := map[string]*claim.Claim{}
	for _, c := range d.undisturbed(behind).Judge() {
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
