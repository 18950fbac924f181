package page

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// How much the first page takes, so that it is one printed page whatever a session
// showed. What is left out stands in a section behind it.
const (
	mostWrong     = 5
	mostWrongText = 850 // letters of all wrong ones
	mostOneText   = 300 // letters of one
	mostUnseen    = 8
	mostNext      = 3
	mostModes     = 6
	mostStrips    = 4
	mostThrottle  = 3
	mostMotorText = 130 // letters of a claim on a motor
	mostLossText  = 330
	mostModelText = 60
)

// firstPage is what a reader sees first: what is wrong, what was not looked at or not
// settled, what the modes are, the moment the signal went, and what changed.
type firstPage struct {
	Model string
	Build string // that listened, and how many more

	HowOpen string // of the open claims: how many were looked at

	Wrong     []headline
	WrongLeft int // how many stand in section 2 only

	Unseen     []string
	UnseenLeft int
	Next       []openGroup // the actions that settle most

	Modes     []combinationRow
	ModesLeft int

	Loss     *firstLoss
	Throttle []headline // claims on motors without a signal
	Changed  changeSummary
}

// headline is a claim in two parts: what was seen, and the rest of its sentence, which
// says what follows from it and what to set.
type headline struct {
	ID, Verdict, What, Do string
}

// firstLoss is the loss that most is wrong with, the last of equals.
type firstLoss struct {
	Title string
	Text  string
	Plot  *plot
}

func newFirst(p *page, s *sheet.Sheet) firstPage {
	f := firstPage{Loss: newFirstLoss(p.Record, s), Changed: p.newChangeSummary()}
	f.Model, f.Build = shorten(p.Model, mostModelText), firstBuild(p.Builds)
	f.HowOpen = howOpen(p.Count)
	f.wrong(p.Wrong, s)
	for _, u := range p.Unseen {
		if u.What != "claims" { // the counts say so
			f.Unseen = append(f.Unseen, shorten(inBrief(u.Text), mostMotorText))
		}
	}
	f.Unseen, f.UnseenLeft = atMost(f.Unseen, mostUnseen)
	f.Next, _ = atMost(p.Open, mostNext)
	f.Modes, f.ModesLeft = atMost(firstModes(p.Asked), mostModes)
	for _, id := range signalLostClaims(s) {
		for i := range p.Claims {
			if c := &p.Claims[i]; c.ID == id {
				f.Throttle = append(f.Throttle, newHeadline(c.ID, c.Verdict, p.paper(c.Sentence), mostMotorText))
			}
		}
	}
	f.Throttle, _ = atMost(f.Throttle, mostThrottle)
	return f
}

// howOpen says how many of the open claims were looked at. A record of an earlier build
// does not tell.
func howOpen(n state.VerdictCount) string {
	if n.OpenLookedAt == 0 {
		return "not looked at, or not settled"
	}
	return fmt.Sprintf("%d not looked at, %d looked at but not settled", n.Open-n.OpenLookedAt, n.OpenLookedAt)
}

// firstBuild names one of the programs that listened and says how many more did.
func firstBuild(builds []string) string {
	if len(builds) == 0 {
		return "not recorded"
	}
	name := shorten(builds[0], mostModelText)
	if n := len(builds) - 1; n > 0 {
		return fmt.Sprintf("%s, and %d more", name, n)
	}
	return name
}

func atMost[T any](list []T, most int) (first []T, left int) {
	n := min(len(list), most)
	return list[:n], len(list) - n
}

// wrong takes those on motors first, then the others in the order of the sheet.
func (f *firstPage) wrong(list []row, s *sheet.Sheet) {
	motor := signalLostClaims(s)
	for _, n := range s.ThrottleChannels() {
		c, _ := s.Channel(n)
		motor = append(motor, claim.FamilyCut.ID(c.Name))
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b row) int { return rank(a.ID, motor) - rank(b.ID, motor) })
	room := mostWrongText
	for i := range sorted {
		h := newHeadline(sorted[i].ID, sorted[i].Verdict, sorted[i].Sentence, mostOneText)
		room -= len(h.What) + len(h.Do)
		if i >= mostWrong || i > 0 && room < 0 {
			f.WrongLeft = len(sorted) - i
			return
		}
		f.Wrong = append(f.Wrong, h)
	}
}

// rank is 0 for a claim of the list, 1 for others.
func rank(id string, first []string) int {
	if slices.Contains(first, id) {
		return 0
	}
	return 1
}

// signalLostClaims are the IDs of the claims on what throttles and motors do without a signal.
func signalLostClaims(s *sheet.Sheet) (ids []string) {
	throttles := s.ThrottleChannels()
	for _, n := range throttles {
		c, _ := s.Channel(n)
		ids = append(ids, claim.FamilyFailsafe.ID(c.Name), claim.FamilyPowerUp.ID(c.Name))
	}
	for i := range s.Outputs {
		if slices.ContainsFunc(s.Outputs[i].MovedBy, func(m sheet.Movement) bool { return slices.Contains(throttles, m.Channel) }) {
			ids = append(ids, claim.FamilyFailsafe.ID(event.AboutOutput.Numbered(s.Outputs[i].Number)))
		}
	}
	return ids
}

// newHeadline cuts a sentence where it says what follows, and at most letters.
func newHeadline(id, verdict, sentence string, most int) headline {
	what, do, _ := strings.Cut(shorten(sentence, most), ": ")
	return headline{ID: id, Verdict: verdict, What: stop(capital(what)), Do: stop(capital(do))}
}

// firstModes puts the wrong ones first where there are more than the page takes, then
// those that the sheet wants.
func firstModes(all []combinationRow) []combinationRow {
	if len(all) <= mostModes {
		return all
	}
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b combinationRow) int { return a.rank() - b.rank() })
	return sorted
}

func (c *combinationRow) rank() int {
	switch {
	case c.Word == string(claim.VerdictWrong) || c.MarginBy == string(claim.VerdictWrong):
		return 0
	case c.Wanted != "":
		return 1
	}
	return 2
}

func newFirstLoss(r *record.Record, s *sheet.Sheet) *firstLoss {
	n := worstLoss(r.Losses)
	if n == 0 {
		return nil
	}
	l := &r.Losses[n-1]
	first := &firstLoss{Text: shorten(lossText(l.Answer), mostLossText)}
	first.Title = fmt.Sprintf("at %s", record.FormatTenths(l.Data.LiveNS))
	if all := shownUpTo(r.Losses, len(r.Losses)-1); all > 1 {
		first.Title = fmt.Sprintf("loss %d of %d, %s", shownUpTo(r.Losses, n-1), all, first.Title)
	}
	for i := range r.Traces {
		if r.Traces[i].ID == l.Trace {
			t := motorAndModes(&r.Traces[i], s)
			d := atRest(l.Data)
			first.Plot = draw(&t, onFirst, nil, moments(&d))
			first.Plot.ID += "-first"
			first.Plot.without(&t, &l.Data)
		}
	}
	return first
}

// worstLoss is the number of the loss that most is wrong with, a raised throttle before
// all; of equals the last. One that left open what the receiver does stands behind the
// others, and what no wire showed is none. 0: there is none.
func worstLoss(list []record.Loss) (number int) {
	const raised = 100
	most := -1
	for i := range list {
		codes := wrongOf(&list[i])
		wrong := len(codes)
		switch {
		case slices.Contains(codes, claim.CodeThrottleUp):
			wrong += raised
		case slices.Contains(codes, claim.CodeNotMeasured):
			wrong = -1
		}
		if wrong >= most && list[i].Data.Shown() {
			number, most = i+1, wrong
		}
	}
	return number
}

// motorAndModes is a trace with throttles and the channels that choose the mode alone.
func motorAndModes(t *record.Trace, s *sheet.Sheet) record.Trace {
	few := *t
	few.Lines = nil
	for _, n := range append(s.ThrottleChannels(), s.ModeChannels()...) {
		for i := range t.Lines {
			if t.Lines[i].Channel == n {
				few.Lines = append(few.Lines, t.Lines[i])
			}
		}
	}
	few.Lines, _ = atMost(few.Lines, mostStrips)
	return few
}

// lossText is what the receiver did and the bus then asked for, by the first two sentences
// of an answer; what is wrong stands above.
func lossText(answer string) string { return sentences(answer, 2) }
