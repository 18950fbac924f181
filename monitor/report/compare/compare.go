// Package compare reports what differs between two sessions of one model.
package compare

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// ErrOtherModel says that two records are of different models.
var ErrOtherModel = errors.New("two different models")

// Comparison is what differs between two sessions of one model.
type Comparison struct {
	Format int    `json:"comparison"` // 1
	Model  string `json:"model"`
	Then   Side   `json:"then"`
	Now    Side   `json:"now"`

	Lost   []Change `json:"lost"`   // seen right then, and not now
	Gained []Change `json:"gained"` // not seen right then, and now
	Other  []Change `json:"other"`  // another verdict that is neither
	Moved  []Moved  `json:"moved"`  // figures that moved by more than chance explains
	Losses []Change `json:"losses"` // what the receiver did without a signal, where it differs
	Came   []string `json:"came"`   // claims that only the later has, by ID
	Gone   []string `json:"gone"`   // claims that only the earlier has
	Sheet  []Edit   `json:"sheet"`  // what was changed in the sheet
	Walk   *Walk    `json:"walk"`   // range walks, null where one of them has none

	Worsened    []string `json:"worse"`         // claims seen wrong now that were not then, by ID
	NotLookedAt []string `json:"not_looked_at"` // claims seen right then that are open or stale now, by ID

	Soak *Soak `json:"soak,omitempty"` // as long runs; absent where one of them is none
}

// Side is one of the two sessions.
type Side struct {
	Folder string    `json:"folder"`
	Begun  time.Time `json:"begun"`
	Builds []string  `json:"builds"`
}

// Change is something that was another thing then.
type Change struct {
	Claim   string  `json:"claim"` // its ID; of a loss its number, "loss 1"
	Was     string  `json:"was"`
	Is      string  `json:"is"`
	Then    string  `json:"then"` // the sentence
	Now     string  `json:"now"`
	Because []Moved `json:"because"` // moved widths that explain it
}

// Moved is a figure that moved.
type Moved struct {
	Claim    string  `json:"claim"`
	Figure   string  `json:"figure"` // its name ends in the unit
	Then     int64   `json:"then"`
	Now      int64   `json:"now"`
	Text     string  `json:"text"`     // both, and by how much
	From     string  `json:"from"`     // the least difference that counts, and why
	Because  []Moved `json:"because"`  // moved widths that explain it
	Sentence string  `json:"sentence"` // of the claim, now
}

// Compare reports what differs. Records of two models are refused with
// ErrOtherModel.
func Compare(thenFolder string, then *record.Record, nowFolder string, now *record.Record) (*Comparison, error) {
	if then.Model != now.Model {
		return nil, fmt.Errorf("%w: %s is of %q, %s of %q; compare two sessions of one model", ErrOtherModel, thenFolder, then.Model, nowFolder, now.Model)
	}
	c := &Comparison{
		Format: 1, Model: now.Model, Then: Side{thenFolder, then.Begun, then.Builds}, Now: Side{nowFolder, now.Begun, now.Builds},
		Lost: []Change{}, Gained: []Change{}, Other: []Change{}, Moved: []Moved{}, Losses: []Change{}, Came: []string{}, Gone: []string{},
		Worsened: []string{}, NotLookedAt: []string{}, Soak: soaks(then, now),
	}
	before, err := sheet.Read(thenFolder, []byte(then.Sheet))
	if err != nil {
		return nil, fmt.Errorf("the sheet in the record of %s: %w", thenFolder, err)
	}
	after, err := sheet.Read(nowFolder, []byte(now.Sheet))
	if err != nil {
		return nil, fmt.Errorf("the sheet in the record of %s: %w", nowFolder, err)
	}
	if c.Sheet, err = edits(then.Sheet, now.Sheet); err != nil {
		return nil, err
	}
	old, oldClaims, claims := byID(then), claim.NewIndex(before), claim.NewIndex(after)
	for i := range now.Claims {
		is := &now.Claims[i]
		was, ok := old[is.ID]
		if !ok {
			c.Came = append(c.Came, is.ID)
			continue
		}
		c.verdict(was, is)
		if of := claims[is.ID]; of != nil && !held(oldClaims[is.ID], before) && !held(of, after) {
			c.figures(was, is, of)
		}
		delete(old, is.ID)
	}
	for _, was := range then.Claims {
		if _, left := old[was.ID]; left {
			c.Gone = append(c.Gone, was.ID)
		}
	}
	c.Walk = walks(then.Walks, now.Walks)
	c.signalLost(then.Losses, now.Losses)
	c.explain(claims)
	return c, nil
}

// Worse reports that something is seen wrong now that was not then. What was seen right and
// is open or stale now is not worse: nothing speaks against it.
func (c *Comparison) Worse() bool { return len(c.Worsened) > 0 }

// MoreMissed says where more was missed on the air than in earlier sessions, in clauses; none where it was not,
// or where too few of them are like it. No claim of the sheet says so.
func (c *Comparison) MoreMissed() (list []string) {
	if c.Soak != nil {
		for i := range c.Soak.Taps {
			if t := &c.Soak.Taps[i]; t.Earlier.Worse() {
				list = append(list, fmt.Sprintf("more was missed on the air by %s than in %d earlier long runs", t.Name, t.Earlier.Sessions))
			}
		}
	}
	if c.Walk != nil && len(c.Walk.Worse) > 0 {
		list = append(list, "more was missed on the range walk than in earlier ones, at "+strings.Join(c.Walk.Worse, ", "))
	}
	return list
}

// Same reports that nothing differs of what the sheet states.
func (c *Comparison) Same() bool {
	return len(c.Lost)+len(c.Gained)+len(c.Other)+len(c.Moved)+len(c.Losses)+len(c.Came)+len(c.Gone)+len(c.Sheet) == 0
}

func byID(r *record.Record) map[string]*record.Claim {
	list := make(map[string]*record.Claim, len(r.Claims))
	for i := range r.Claims {
		list[r.Claims[i].ID] = &r.Claims[i]
	}
	return list
}

func (c *Comparison) verdict(was, is *record.Claim) {
	if was.Verdict == is.Verdict {
		return
	}
	change := Change{Claim: is.ID, Was: was.Verdict, Is: is.Verdict, Then: was.Sentence, Now: is.Sentence, Because: []Moved{}}
	switch string(claim.VerdictRight) {
	case was.Verdict:
		c.Lost = append(c.Lost, change)
	case is.Verdict:
		c.Gained = append(c.Gained, change)
	default:
		c.Other = append(c.Other, change)
	}
	switch {
	case is.Verdict == string(claim.VerdictWrong):
		c.Worsened = append(c.Worsened, is.ID)
	case was.Verdict == string(claim.VerdictRight):
		c.NotLookedAt = append(c.NotLookedAt, is.ID)
	}
}

// figures compares what both have measured. One that is open has nothing to
// compare, whatever is left in its figures.
func (c *Comparison) figures(was, is *record.Claim, of *claim.Claim) {
	if was.Verdict == string(claim.VerdictOpen) || is.Verdict == string(claim.VerdictOpen) {
		return
	}
	for _, name := range slices.Sorted(maps.Keys(is.Figures)) {
		a, measured := was.Figures[name]
		b := is.Figures[name]
		m, known := of.Measure(name)
		if !measured || !known || unit.Abs(b-a) < m.From {
			continue
		}
		c.Moved = append(c.Moved, Moved{
			Claim: is.ID, Figure: name, Then: a, Now: b, Because: []Moved{}, Sentence: is.Sentence,
			Text: fmt.Sprintf("%s then, %s now: %s %s", amount(m.In, a), amount(m.In, b), amount(m.In, unit.Abs(b-a)), way(m.In, b-a)),
			From: fmt.Sprintf("from %s on; %s", amount(m.In, m.From), m.Why),
		})
	}
}

func way(in claim.MeasureUnit, d int64) string {
	words := map[claim.MeasureUnit][2]string{claim.InWidth: {"narrower", "wider"}, claim.InTime: {"sooner", "later"}, claim.InShare: {"less", "more"}}[in]
	if d < 0 {
		return words[0]
	}
	return words[1]
}

// explain puts the movement of a switch under what follows from it: its claims on
// mode and margin. So one cause is reported once.
func (c *Comparison) explain(claims claim.Index) {
	used := map[string]bool{}
	for i := range c.Lost {
		c.Lost[i].Because = c.causes(c.Lost[i].Claim, claims, used)
	}
	for i := range c.Moved {
		if claims.Family(c.Moved[i].Claim) == claim.FamilyMargin && !c.lost(c.Moved[i].Claim) {
			c.Moved[i].Because = c.causes(c.Moved[i].Claim, claims, used)
		}
	}
	c.Moved = slices.DeleteFunc(c.Moved, func(m Moved) bool { return used[m.Claim] || c.lost(m.Claim) && m.under(c.Lost) })
}

func (c *Comparison) lost(id string) bool {
	return slices.ContainsFunc(c.Lost, func(l Change) bool { return l.Claim == id })
}

func (m *Moved) under(lost []Change) bool {
	return slices.ContainsFunc(lost, func(l Change) bool {
		return slices.ContainsFunc(l.Because, func(b Moved) bool { return b.Claim == m.Claim && b.Figure == m.Figure })
	})
}

// causes are the moved figures of a lost claim itself and then, of one on modes,
// those of the positions that it names.
func (c *Comparison) causes(id string, claims claim.Index, used map[string]bool) []Moved {
	list := []Moved{}
	for _, m := range c.Moved {
		if c.lost(id) && m.Claim == id {
			list = append(list, m)
		}
	}
	var positions []string
	if of := claims[id]; of != nil {
		positions = of.Rests
	}
	for _, position := range positions {
		for _, m := range c.Moved {
			if m.Claim == position {
				used[position] = true
				list = append(list, m)
			}
		}
	}
	return list
}

// signalLost compares the losses that the wire showed one by one, as they came.
func (c *Comparison) signalLost(then, now []record.Loss) {
	then, now = shown(then), shown(now)
	for i := range min(len(then), len(now)) {
		a, b := &then[i].Data, &now[i].Data
		was, is := lossWords(a), lossWords(b)
		if was != is {
			c.Losses = append(c.Losses, Change{Claim: fmt.Sprintf("loss %d", i+1), Was: was, Is: is, Then: then[i].Answer, Now: now[i].Answer, Because: []Moved{}})
		}
	}
}

func shown(list []record.Loss) []record.Loss {
	return slices.DeleteFunc(slices.Clone(list), func(l record.Loss) bool { return !l.Data.Shown() })
}

func lossWords(d *event.LossData) string {
	s := record.ReceiverLossText(d.Class) + ", " + string(d.Flag)
	if d.ModeNS >= 0 {
		s += ", the bus asked for " + text.ModeName(d.Mode)
	}
	return s
}
