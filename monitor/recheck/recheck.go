// Package recheck chooses what to show again before a flight day, at home: what a change has made stale, what was
// never seen, and what was seen longest ago. It goes by the records of a model's sessions, and by no clock.
package recheck

import (
	"cmp"
	"slices"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
)

// Most is how many prompts a re-check has at most.
const Most = 8

// Plan is what to show again.
type Plan struct {
	Wrong   []string // sentences on what was seen wrong last: mended before anything else counts
	Prompts []Prompt // at most Most, the most urgent first
	Apart   []Prompt // those that take the signal or the supply away, and their time
	Later   int      // prompts that were left for another day
	Fresh   int      // claims that were seen right on the day itself
}

// Prompt is one thing to do, and what it shows again.
type Prompt struct {
	Do     string // what to do, a part of a sentence
	Drill  string // that leads through it, "" where the wire alone shows it
	Claims int
	Stale  bool      // something was changed since it was seen
	SeenOn time.Time // when the oldest of its claims was seen right last; zero: one never was
	apart  bool
}

// New plans the re-check of a model. records are those of its sessions, the latest first; papers are the model's; day is
// the first moment of the day on which it is done: what was seen right since is not asked for again.
func New(s *sheet.Sheet, records []*record.Record, papers []event.Paper, day time.Time) *Plan {
	p := &Plan{}
	var all []Prompt
	past := pastOf(s, records)
	for _, c := range claim.New(s).Claims() {
		st := past.standing(c, papers)
		switch {
		case st.wrong != "":
			p.Wrong = append(p.Wrong, st.wrong)
		case !st.stale && !st.seen.IsZero() && !st.seen.Before(day):
			p.Fresh++
		case asksForNothing(c):
		default:
			all = enter(all, s, st)
		}
	}
	slices.SortStableFunc(all, moreUrgent)
	for _, one := range all {
		switch {
		case one.apart:
			p.Apart = append(p.Apart, one)
		case len(p.Prompts) < Most:
			p.Prompts = append(p.Prompts, one)
		default:
			p.Later++
		}
	}
	return p
}

// asksForNothing: it comes by itself or never, or the receiver would learn something anew by it.
func asksForNothing(c *claim.Claim) bool {
	return c.OnlyWrong || c.Settle.Do.Waits() || slices.Contains(setsUp, c.Settle.Drill)
}

// setsUp are the drills in which something is set up, or a switch is taken off its channel.
var setsUp = []string{drill.Levelling, drill.LimitLearning, drill.Edges}

// enter puts a claim under what is to be done for it: a drill once, whatever of it is wanted.
func enter(all []Prompt, s *sheet.Sheet, st standing) []Prompt {
	a := st.claim.Settle
	plan, drilled := drill.Find(drill.Plans(s), a.Drill)
	one := Prompt{Do: a.String(), Drill: a.Drill, Claims: 1, Stale: st.stale, SeenOn: st.seen, apart: drilled && (plan.Loses || plan.Unpowers)}
	i := slices.IndexFunc(all, func(p Prompt) bool { return p.Drill == one.Drill && (drilled || p.Do == one.Do) })
	if i < 0 {
		return append(all, one)
	}
	if drilled && all[i].Do != one.Do { // its purpose has them all
		all[i].Do = plan.Purpose
	}
	all[i].Claims++
	all[i].Stale = all[i].Stale || one.Stale
	if one.SeenOn.Before(all[i].SeenOn) {
		all[i].SeenOn = one.SeenOn
	}
	return all
}

// moreUrgent: stale, then never seen, then the oldest; of equals what settles most.
func moreUrgent(a, b Prompt) int {
	return cmp.Or(rank(a)-rank(b), a.SeenOn.Compare(b.SeenOn), b.Claims-a.Claims)
}

func rank(p Prompt) int {
	switch {
	case p.Stale:
		return 0
	case p.SeenOn.IsZero():
		return 1
	}
	return 2
}
