package record

import (
	"fmt"
	"slices"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Collector listens to the events of a session. Its exported fields are what a checkpoint
// keeps.
type Collector struct {
	Begun        time.Time
	Ended        bool
	Builds       []string
	Drills       []Drill
	Walks        []Walk
	Marks        []Mark
	Reopened     []Mark
	Losses       []datedLoss
	Digest       Digest
	Listed       map[string]int // in the digest, by kind
	Line         tapLines
	Overview     *Overview
	Combinations *combinationLog
	Absences     absences
	Gaps         int
	Faults       int

	sheet *sheet.Sheet
}

// datedLoss is a measured loss and the wall clock of its last live frame.
type datedLoss struct {
	Data event.LossData
	Wall int64
}

// absences are things whose absence is worth saying.
type absences struct {
	Beats   bool // the heartbeat was seen
	Dark    bool // the receiver was heard before any link
	Flagged int  // flagged failsafes after a link
}

// NewCollector makes an empty one for a sheet.
func NewCollector(s *sheet.Sheet) *Collector {
	return &Collector{
		sheet: s, Builds: []string{}, Drills: []Drill{}, Walks: []Walk{}, Marks: []Mark{}, Reopened: []Mark{},
		Digest: Digest{Events: []TimelineEntry{}, Left: map[string]int64{}}, Listed: map[string]int{},
		Line: tapLines{ByTap: map[string]*tapLine{}}, Combinations: newCombinationLog(s), Overview: NewOverview(s),
	}
}

// OnEvent implements engine.EventFunc.
func (g *Collector) OnEvent(e *event.Event, wall int64) {
	switch d := e.Data.(type) {
	case event.SessionData:
		g.session(&d, wall-int64(e.At))
	case event.MarkData:
		g.Marks = append(g.Marks, Mark{AtNS: e.At, Text: d.Text})
	case event.StrikeData:
		g.strike(e.At, &d)
	case event.ReopenData:
		g.Reopened = append(g.Reopened, Mark{AtNS: e.At, Text: d.What})
	case event.RecordingGapData:
		if !d.Ended {
			g.Gaps++
		}
	case event.LossData:
		g.Losses = append(g.Losses, datedLoss{d, wall - int64(e.At) + int64(d.LiveNS)})
	case event.FaultData:
		g.Faults++
	}
	if e.Kind == event.SessionEnded {
		g.Ended = true
	}
	g.noteAbsence(e)
	g.drill(e)
	g.walk(e)
	g.Line.see(e)
	g.Overview.See(e)
	g.Combinations.see(e)
	g.addToDigest(e)
}

// strike strikes the mark that is named, the latest of those that are alike; it stays.
func (g *Collector) strike(at unit.Time, d *event.StrikeData) {
	for i := range slices.Backward(g.Marks) {
		if m := &g.Marks[i]; m.AtNS == d.MarkNS && m.Text == d.Text && m.Struck == nil {
			m.Struck = &Strike{at, d.Why}
			return
		}
	}
}

func (g *Collector) session(d *event.SessionData, zero int64) {
	g.Ended = false
	if g.Begun.IsZero() {
		g.Begun = WallTime(zero)
	}
	if !slices.Contains(g.Builds, d.Build) {
		g.Builds = append(g.Builds, d.Build)
	}
}

func (g *Collector) noteAbsence(e *event.Event) {
	switch d := e.Data.(type) {
	case event.ValuesStillData:
		g.Absences.Beats = g.Absences.Beats || e.Kind == event.ValuesMoving && d.ForNS == 0
	case event.FailsafeData:
		if d.BeforeLink {
			g.Absences.Dark = true
		} else if e.Kind == event.FailsafeEntered {
			g.Absences.Flagged++
		}
	case event.PowerUpData:
		g.Absences.Dark = g.Absences.Dark || d.Off && d.Frames > 0
	}
}

func (g *Collector) drill(e *event.Event) {
	name, _ := event.AboutDrill.Name(e.About)
	var now *Drill
	if n := len(g.Drills); n > 0 && g.Drills[n-1].Name == name && g.Drills[n-1].EndedNS < 0 {
		now = &g.Drills[n-1]
	}
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		g.Drills = append(g.Drills, Drill{Name: name, BeganNS: e.At, EndedNS: -1, Prompts: d.Prompts})
	case event.DrillAnsweredData:
		if now != nil {
			now.Answered++
		}
	case event.DrillEndedData:
		if now != nil {
			now.EndedNS, now.How, now.Why = e.At, d.How, d.Why
		}
	}
}

// mostListed is how many events of one kind the digest reports.
const mostListed = 40

// addToDigest takes an event into the digest, or counts it.
func (g *Collector) addToDigest(e *event.Event) {
	if !worthListing(e) || g.Listed[e.Kind] >= mostListed {
		g.Digest.Left[e.Kind]++
		return
	}
	g.Listed[e.Kind]++
	g.Digest.Events = append(g.Digest.Events, TimelineEntry{AtNS: event.ShownTime(e), Kind: e.Kind, Text: event.Sentence(e)})
}

// worthListing reports whether an event is worth a line of its own on paper. What a
// verdict rests on stands beside the verdict.
func worthListing(e *event.Event) bool {
	switch e.Kind {
	case event.SwitchMoved, event.AirMissed, event.WireGap, event.WireDamaged, event.DrillPrompted, event.DrillAnswered, event.DrillHint, event.DrillRefused,
		event.GainSwept, event.TravelClipped, event.TravelFree, event.ValueSpiked:
		return false
	}
	switch d := e.Data.(type) {
	case event.ModeData:
		return !d.Passing
	case event.VerdictData:
		return d.Verdict == string(claim.VerdictWrong)
	}
	return true
}

func (g *Collector) flawsFound() []string {
	list := []string{}
	if g.Gaps > 0 {
		list = append(list, fmt.Sprintf("the disk refused %d times: what was heard then is not in the recording and proves nothing", g.Gaps))
	}
	if g.Faults > 0 {
		list = append(list, fmt.Sprintf("judgement failed %d times by a fault of the program and began afresh", g.Faults))
	}
	return list
}
