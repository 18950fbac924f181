package record

import (
	"fmt"
	"slices"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Collector listens to the events of a session.
type Collector struct {
	sheet        *sheet.Sheet
	Begun        time.Time
	ended        bool
	builds       []string
	drills       []Drill
	marks        []Mark
	reopened     []Mark
	losses       []datedLoss
	digest       Digest
	timeline     map[string]int
	line         tapLines
	overview     *Overview
	combinations *combinationLog
	seen         absences
	gaps         int
	faults       int
	Err          error
}

// datedLoss is a measured loss and the wall clock of its last live frame.
type datedLoss struct {
	data event.LossData
	wall int64
}

// absences are things whose absence is worth saying.
type absences struct {
	beats   bool // the heartbeat was seen
	dark    bool // the receiver was heard before any link
	flagged int  // flagged failsafes after a link
}

// NewCollector makes an empty one for a sheet.
func NewCollector(s *sheet.Sheet) *Collector {
	return &Collector{
		sheet: s, builds: []string{}, drills: []Drill{}, marks: []Mark{}, reopened: []Mark{},
		digest: Digest{Events: []TimelineEntry{}, Left: map[string]int64{}}, timeline: map[string]int{},
		line: tapLines{byTap: map[string]*tapLine{}}, combinations: newCombinationLog(s), overview: NewOverview(s),
	}
}

// OnEvent implements engine.EventFunc.
func (g *Collector) OnEvent(e *event.Event, wall int64) {
	switch d := e.Data.(type) {
	case event.SessionData:
		g.session(&d, wall-int64(e.At))
	case event.MarkData:
		g.marks = append(g.marks, Mark{e.At, d.Text})
	case event.ReopenData:
		g.reopened = append(g.reopened, Mark{e.At, d.What})
	case event.RecordingGapData:
		if !d.Ended {
			g.gaps++
		}
	case event.LossData:
		g.losses = append(g.losses, datedLoss{d, wall - int64(e.At) + int64(d.LiveNS)})
	case event.FaultData:
		g.faults++
	}
	if e.Kind == event.SessionEnded {
		g.ended = true
	}
	g.noteAbsence(e)
	g.drill(e)
	g.line.see(e)
	g.overview.See(e)
	g.combinations.see(e)
	g.addToDigest(e)
}

func (g *Collector) session(d *event.SessionData, zero int64) {
	g.ended = false
	if g.Begun.IsZero() {
		g.Begun = WallTime(zero)
	}
	if !slices.Contains(g.builds, d.Build) {
		g.builds = append(g.builds, d.Build)
	}
}

func (g *Collector) noteAbsence(e *event.Event) {
	switch d := e.Data.(type) {
	case event.ValuesStillData:
		g.seen.beats = g.seen.beats || e.Kind == event.ValuesMoving && d.ForNS == 0
	case event.FailsafeData:
		if d.BeforeLink {
			g.seen.dark = true
		} else if e.Kind == event.FailsafeEntered {
			g.seen.flagged++
		}
	case event.PowerUpData:
		g.seen.dark = g.seen.dark || d.Off && d.Frames > 0
	}
}

func (g *Collector) drill(e *event.Event) {
	name, _ := event.AboutDrill.Name(e.About)
	var now *Drill
	if n := len(g.drills); n > 0 && g.drills[n-1].Name == name && g.drills[n-1].EndedNS < 0 {
		now = &g.drills[n-1]
	}
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		g.drills = append(g.drills, Drill{Name: name, BeganNS: e.At, EndedNS: -1, Prompts: d.Prompts})
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
	if !worthListing(e) || g.timeline[e.Kind] >= mostListed {
		g.digest.Left[e.Kind]++
		return
	}
	g.timeline[e.Kind]++
	g.digest.Events = append(g.digest.Events, TimelineEntry{AtNS: event.ShownTime(e), Kind: e.Kind, Text: event.Sentence(e)})
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
	if g.gaps > 0 {
		list = append(list, fmt.Sprintf("the disk refused %d times: what was heard then is not in the recording and proves nothing", g.gaps))
	}
	if g.faults > 0 {
		list = append(list, fmt.Sprintf("judgement failed %d times by a fault of the program and began afresh", g.faults))
	}
	return list
}
