package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// gatherer listens to the events of a session.
type gatherer struct {
	sheet    *sheet.Sheet
	begun    time.Time
	ended    bool
	builds   []string
	drills   []Drill
	marks    []Note
	reopened []Note
	losses   []loss
	digest   Digest
	told     map[string]int
	line     lines
	leads    leads
	asks     *asks
	seen     glances
	gaps     int
	faults   int
	err      error
}

// loss is a measured loss and the wall clock of its last live frame.
type loss struct {
	data fact.LossData
	wall int64
}

// glances are things whose absence is worth saying.
type glances struct {
	beats   bool // the heartbeat was seen
	dark    bool // the receiver was heard before any link
	flagged int  // flagged failsafes after a link
}

func newGatherer(s *sheet.Sheet) *gatherer {
	return &gatherer{
		sheet: s, builds: []string{}, drills: []Drill{}, marks: []Note{}, reopened: []Note{},
		digest: Digest{Events: []Told{}, Left: map[string]int64{}}, told: map[string]int{},
		line: lines{byTap: map[string]*line{}}, asks: newAsks(s),
	}
}

// hear implements monitor.Hear.
func (g *gatherer) hear(e *fact.Event, wall int64) {
	switch d := e.Data.(type) {
	case fact.SessionData:
		g.session(&d, wall-int64(e.At))
	case fact.MarkData:
		g.marks = append(g.marks, Note{e.At, d.Text})
	case fact.ReopenData:
		g.reopened = append(g.reopened, Note{e.At, d.What})
	case fact.GapData:
		if !d.Ended {
			g.gaps++
		}
	case fact.LossData:
		g.losses = append(g.losses, loss{d, wall - int64(e.At) + int64(d.LiveNS)})
	case monitor.FaultData:
		g.faults++
	}
	if e.Kind == fact.SessionEnded {
		g.ended = true
	}
	g.glance(e)
	g.drill(e)
	g.line.see(e)
	g.leads.see(e, g.sheet)
	g.asks.see(e)
	g.tell(e)
}

func (g *gatherer) session(d *fact.SessionData, zero int64) {
	g.ended = false
	if g.begun.IsZero() {
		g.begun = milli(zero)
	}
	if !slices.Contains(g.builds, d.Build) {
		g.builds = append(g.builds, d.Build)
	}
}

func (g *gatherer) glance(e *fact.Event) {
	switch d := e.Data.(type) {
	case fact.StillData:
		g.seen.beats = g.seen.beats || e.Kind == fact.ValuesMoving && d.ForNS == 0
	case fact.FailsafeData:
		if d.BeforeLink {
			g.seen.dark = true
		} else if e.Kind == fact.FailsafeEntered {
			g.seen.flagged++
		}
	case fact.PowerUpData:
		g.seen.dark = g.seen.dark || d.Off && d.Frames > 0
	}
}

func (g *gatherer) drill(e *fact.Event) {
	name := strings.TrimPrefix(e.About, "drill:")
	var now *Drill
	if n := len(g.drills); n > 0 && g.drills[n-1].Name == name && g.drills[n-1].EndedNS < 0 {
		now = &g.drills[n-1]
	}
	switch d := e.Data.(type) {
	case fact.DrillBeganData:
		g.drills = append(g.drills, Drill{Name: name, BeganNS: e.At, EndedNS: -1, Prompts: d.Prompts})
	case fact.AnswerData:
		if now != nil {
			now.Answered++
		}
	case fact.DrillEndedData:
		if now != nil {
			now.EndedNS, now.How, now.Why = e.At, d.How, d.Why
		}
	}
}

// mostTold is how many events of one kind the digest tells.
const mostTold = 40

// tell takes an event into the digest, or counts it.
func (g *gatherer) tell(e *fact.Event) {
	if !telling(e) || g.told[e.Kind] >= mostTold {
		g.digest.Left[e.Kind]++
		return
	}
	g.told[e.Kind]++
	g.digest.Events = append(g.digest.Events, Told{AtNS: say.DateOf(e), Kind: e.Kind, Text: say.Event(e)})
}

// telling reports whether an event is worth a line of its own on paper. What a
// verdict rests on stands beside the verdict.
func telling(e *fact.Event) bool {
	switch e.Kind {
	case fact.SwitchMoved, fact.AirMissed, fact.WireGap, fact.WireDamaged, fact.DrillPrompted, fact.DrillAnswered, fact.DrillHint, fact.DrillRefused,
		fact.GainSwept, fact.TravelClipped, fact.TravelFree, fact.ValueSpiked:
		return false
	}
	switch d := e.Data.(type) {
	case fact.ModeData:
		return !d.Passing
	case fact.VerdictData:
		return d.Verdict == string(claim.Wrong)
	}
	return true
}

func (g *gatherer) flaws() []string {
	list := []string{}
	if g.gaps > 0 {
		list = append(list, fmt.Sprintf("the disk refused %d times: what was heard then is not in the recording and proves nothing", g.gaps))
	}
	if g.faults > 0 {
		list = append(list, fmt.Sprintf("judgement failed %d times by a fault of the program and began afresh", g.faults))
	}
	return list
}
