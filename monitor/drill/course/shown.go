package course

import (
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Shown is the drills of a session at one moment, as data for a screen.
type Shown struct {
	Drills  []Listed  `json:"drills"`            // that the sheet allows, in their order
	Running *Running  `json:"running,omitempty"` // the drill under way, absent where none is
	Ended   *Finished `json:"ended,omitempty"`   // the one that ended last in this run, absent before one did
	Seq     int64     `json:"seq"`               // number of the latest event that this is by
	NowNS   unit.Time `json:"now_ns"`            // bench time
}

// Listed is a drill in the list.
type Listed struct {
	Name     string         `json:"name"`
	Purpose  string         `json:"purpose"`  // what it shows
	Cautions []string       `json:"cautions"` // sentences that must hold before the first prompt
	Prompts  []ListedPrompt `json:"prompts"`
	Again    bool           `json:"again"`    // its prompts can be repeated, and gone back from
	Leads    bool           `json:"leads"`    // it is judged by the servo leads too
	Loses    bool           `json:"loses"`    // the transmitter is switched off in it
	Unpowers bool           `json:"unpowers"` // the receiver's supply is cut in it
	Tilts    bool           `json:"tilts"`    // the model is tilted in it
	Claims   Counts         `json:"claims"`   // that it is for, by their verdicts now
}

// Counts counts claims by their verdicts.
type Counts struct {
	Right int `json:"right"`
	Wrong int `json:"wrong"`
	Open  int `json:"open"`
	Stale int `json:"stale"`
}

// ListedPrompt is a prompt of a drill in the list.
type ListedPrompt struct {
	ID      string        `json:"id"`
	Text    string        `json:"text"`
	Key     string        `json:"key"`     // its key word, which fills a screen
	Answers string        `json:"answers"` // how it is answered: wire, count, builder, words or marks
	Hands   bool          `json:"hands"`   // it takes both hands, so nobody is asked for a touch
	Held    bool          `json:"held"`    // an answer before its time is noted, and it stands on
	HoldNS  unit.Duration `json:"hold_ns"` // how long it stands until the next comes by itself, 0: as long as it takes
	Early   string        `json:"early"`   // what is lost by going on before the wire, or the time, answers; "" for nothing
}

// Finished is a drill that is over, with what stands now.
type Finished struct {
	Ended
	RightNow  string `json:"right_now"` // sentences, "" where there is nothing to say
	Undecided string `json:"undecided"`
	Then      string `json:"then"`      // what is to be done before all else
	Others    string `json:"others"`    // stands above these:
	Elsewhere []Told `json:"elsewhere"` // claims that are wrong and that it is not for, those that are said
	Wrong     []Told `json:"wrong"`     // of the claims that it is for, those that are said in full
	Open      []Told `json:"open"`
	More      More   `json:"more"` // how many are not
	Next      Next   `json:"next"`
}

// Told is a claim that is not right.
type Told struct {
	Claim    string `json:"claim"` // its ID
	Sentence string `json:"sentence"`
	Reopens  string `json:"reopens"` // what to name to have it seen anew after a change, "" for nothing
}

// Next is what to do behind a drill.
type Next struct {
	Again string `json:"again"` // why it is to be done once more: "unfinished", "after the change"; "" where it is not
	Drill string `json:"drill"` // the drill that is next, "" where none is left with an open claim
}

// Why a drill is to be done once more.
const (
	AgainUnfinished = "unfinished"
	AgainChanged    = "after the change"
)

// Show puts the drills together with the claims of a moment. A verdict that changed behind that
// moment, while a drill ran, counts.
func (c *Course) Show(now *state.State) Shown {
	c.mu.Lock()
	running, ended, seq, changed, through := c.running.copied(), c.ended, c.seq, c.changed, c.through
	c.mu.Unlock()
	running.waits(now)
	claims := c.claimsAt(now)
	c.later(claims, now.Seq, through)
	c.later(claims, now.Seq, changed)
	shown := Shown{Drills: slices.Clone(c.list), Running: running, Seq: seq, NowNS: now.NowNS}
	for i := range shown.Drills {
		for _, k := range claims {
			if k.Settle.Drill == shown.Drills[i].Name {
				shown.Drills[i].Claims.add(k.Verdict)
			}
		}
	}
	if ended != nil {
		shown.Ended = finished(ended, through.about(), c.plans, claims)
	}
	return shown
}

// waits takes how far the drill is by a moment, if that has the prompt that stands.
func (r *Running) waits(now *state.State) {
	if r == nil || now.Prompt == nil || now.Drill != r.Drill {
		return
	}
	stands := ""
	if r.Prompt != nil {
		stands = r.Prompt.ID
	}
	if now.Prompt.ID == stands {
		waiting := *now.Prompt
		r.Waiting = &waiting
	}
}

// claimsAt are copies of the claims with the verdicts of a moment.
func (c *Course) claimsAt(now *state.State) []*claim.Claim {
	list := make([]*claim.Claim, len(c.claims))
	for i, k := range c.claims {
		copied := *k
		list[i] = &copied
	}
	for i := range now.Claims {
		k := &now.Claims[i]
		c.judge(list, k.ID, k.Verdict, k.Sentence)
	}
	return list
}

// later takes verdicts that changed behind an event.
func (c *Course) later(claims []*claim.Claim, seq int64, changed changes) {
	for i := range changed {
		d, _ := changed[i].Data.(event.VerdictData)
		if id, ok := event.AboutClaim.Name(changed[i].About); ok && changed[i].Seq > seq {
			c.judge(claims, id, d.Verdict, d.Sentence)
		}
	}
}

// judge gives a claim a verdict; one that the sheet has not is passed over.
func (c *Course) judge(claims []*claim.Claim, id, verdict, sentence string) {
	if i, ok := c.places[id]; ok {
		claims[i].Verdict, claims[i].Sentence = claim.Verdict(verdict), sentence
	}
}

func listed(s *sheet.Sheet, p *drill.Plan) Listed {
	l := Listed{
		Name: p.Name, Purpose: p.Purpose, Cautions: append([]string{}, p.Cautions...), Prompts: []ListedPrompt{},
		Again: p.Again(), Leads: p.Leads, Loses: p.Loses, Unpowers: p.Unpowers, Tilts: p.Tilts,
	}
	for i := range p.Prompts {
		q := &p.Prompts[i]
		l.Prompts = append(l.Prompts, ListedPrompt{
			ID: q.ID, Text: q.Text, Key: p.KeyWord(s, q), Answers: q.Answers(), Hands: q.Hands(),
			Held: q.Until.Hold, HoldNS: q.Until.After, Early: q.Early,
		})
	}
	return l
}

func (n *Counts) add(v claim.Verdict) {
	switch v {
	case claim.VerdictRight:
		n.Right++
	case claim.VerdictWrong:
		n.Wrong++
	case claim.VerdictStale:
		n.Stale++
	default:
		n.Open++
	}
}

func finished(e *Ended, changed []string, plans []drill.Plan, claims []*claim.Claim) *Finished {
	plan, _ := drill.Find(plans, e.Drill)
	r := ResultOf(e.Drill, plans, claims, changed, e.Finished())
	f := &Finished{Ended: *e, RightNow: r.RightNow(), Next: Next{Drill: r.Next}}
	others, elsewhere := r.Others()
	f.Others, f.Elsewhere = others, told(elsewhere)
	if plan != nil {
		f.Then = plan.Then
	}
	if e.Finished() {
		f.Undecided = Undecided(plan, changed)
	}
	wrong, open, more := r.Told()
	f.Wrong, f.Open, f.More = told(wrong), told(open), more
	switch {
	case r.Unfinished():
		f.Next.Again = AgainUnfinished
	case len(r.Wrong) > 0:
		f.Next.Again = AgainChanged
	}
	return f
}

func told(claims []*claim.Claim) []Told {
	list := []Told{}
	for _, c := range claims {
		list = append(list, Told{c.ID, Says(c), c.Reopens})
	}
	return list
}
