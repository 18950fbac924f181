package record

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// What a session did not look at, or did not settle, as the report says it.
const (
	leadsNotHeard = "The servo leads were not heard: what the receiver sends to servos and motor, which way they move " +
		"and where they stop is not in this report."
	busNotTapped = "No bus was listened to: channels, modes, flags, and whether the receiver hears its transmitter, are not in " +
		"this report. Pulses alone do not show a loss of the signal."
	responseNotShown = "What the stabiliser does with the mode that it is asked for was not shown: the bus carries the " +
		"question only. Tilting the model shows the answer."
	powerUpNotSeen = "The receiver was not seen powered up with the transmitter off: what motor and surfaces do before " +
		"the first link is not known."
	sessionNotEnded = "The session was cut off or still goes on: what is judged at the end of a sitting was not judged."
	noHeartbeat     = "No heartbeat: a receiver that holds its last values and sets no flag looks like hands at rest. " +
		"Such a loss could be seen only while a stick was being moved."
	heartbeatNotSeen = "The sheet has a heartbeat on channel %d, but it was not seen to beat: a receiver that holds " +
		"without a flag could be seen only while a stick was being moved."
	windowsGuessed = "The windows of the modes are a guess: that a position lies inside one shows that it fits the " +
		"guess, not that the receiver agrees."
	windowsFromManual = "The windows of the modes are taken from the manual; where their edges lie in this receiver was " +
		"not measured."
	valuesBehindStabiliser = "What the bus at %s carries is %s by the sheet: values after a stabiliser prove less about " +
		"the transmitter."
	lossNotTried = "Losing the signal was not tried, or nothing on the bus showed it: what motor and modes do then is " +
		"not known."
	lossTriedEarly = "Losing the signal was tried soon after power-up only; presets that the transmitter sends now and " +
		"then may come later. Try it again after two minutes."
	lossNotTriedEarly = "Losing the signal was not tried within two minutes of power-up; a receiver that waits for its " +
		"presets may have none then."
	lossNotWatchedLonger = "No loss was judged for longer than %s: what the receiver does later was not looked at."
)

// NothingJudged is said of a session under a sheet without channels.
const NothingJudged = "Nothing was judged: there was no sheet to hold it against."

const (
	// presetsUnsure is until when after power-up a transmitter that sends the presets now
	// and then may not have sent them (common practice: test soon after power-up
	// and after two minutes).
	presetsUnsure = 2 * unit.Minute
	// lossWatched is how long a loss must have been looked at for "it stays so" to
	// mean anything.
	lossWatched = 5 * unit.Second
)

// listUnseen says what a session did not look at, and what it looked at and did not settle.
func listUnseen(r *Record, s *sheet.Sheet, g *Collector) []Unseen {
	list := []Unseen{}
	add := func(what, text string) { list = append(list, Unseen{what, text}) }
	for _, text := range unjudged(r.Count) {
		add("claims", text)
	}
	for _, text := range unheard(r) {
		add("tap", text)
	}
	if s.Listens {
		add("sheet", NothingJudged)
	} else {
		list = append(list, unshown(r, s, g)...)
	}
	for _, f := range r.Flaws {
		add("recording", strings.ToUpper(f[:1])+f[1:]+".")
	}
	if !r.Ended {
		add("recording", sessionNotEnded)
	}
	return list
}

// unshown says what the wire did not show that a sheet could be held against.
func unshown(r *Record, s *sheet.Sheet, g *Collector) (list []Unseen) {
	add := func(what, text string) { list = append(list, Unseen{what, text}) }
	if !slices.ContainsFunc(r.Taps, func(t Tap) bool { return t.Kind == "pulses" && t.Heard }) {
		add("leads", leadsNotHeard)
	}
	if s.Stabiliser != nil && !answersSeen(r, s) {
		add("response", responseNotShown)
	}
	list = append(list, uncertain(r, s, g)...)
	for _, text := range losses(r, s, g) {
		add("loss", text)
	}
	if !g.Absences.Dark {
		add("power-up", powerUpNotSeen)
	}
	return list
}

// unjudged says how many claims are neither seen right nor seen wrong, and why.
func unjudged(n state.VerdictCount) (list []string) {
	for _, part := range []struct {
		n   int
		why string
	}{
		{n.Open - n.OpenLookedAt, "not looked at (open)."},
		{n.OpenLookedAt, "looked at, but not settled (open)."},
		{n.Stale, "seen right, but not since something was changed (stale)."},
	} {
		if part.n > 0 {
			list = append(list, claims(part.n)+" "+part.why)
		}
	}
	return list
}

func claims(n int) string {
	if n == 1 {
		return "1 claim of the sheet was"
	}
	return fmt.Sprintf("%d claims of the sheet were", n)
}

// answersSeen reports whether a claim shows how the stabiliser answers a tilt.
func answersSeen(r *Record, s *sheet.Sheet) bool {
	claims := claim.NewIndex(s)
	return slices.ContainsFunc(r.Claims, func(c Claim) bool {
		judged := c.Verdict == string(claim.VerdictRight) || c.Verdict == string(claim.VerdictWrong)
		return judged && claims.Family(c.ID) == claim.FamilyResponse
	})
}

func unheard(r *Record) (list []string) {
	if onLeadsAlone(r) {
		list = append(list, busNotTapped)
	}
	for _, t := range r.Taps {
		if !t.Heard {
			list = append(list, fmt.Sprintf("Nothing was heard at the tap %s (%s), which the sheet has.", t.Name, t.Kind))
		}
	}
	return list
}

// onLeadsAlone reports a session that has servo leads and no bus.
func onLeadsAlone(r *Record) bool {
	of := func(kind string) bool {
		return slices.ContainsFunc(r.Taps, func(t Tap) bool { return t.Kind == kind })
	}
	return of("pulses") && !of("bus")
}

// uncertain says which words of the sheet and which taps are worth less than
// they look.
func uncertain(r *Record, s *sheet.Sheet, g *Collector) (list []Unseen) {
	switch {
	case onLeadsAlone(r): // which no heartbeat helps
	case s.Heartbeat == nil:
		list = append(list, Unseen{"heartbeat", noHeartbeat})
	case !g.Absences.Beats:
		list = append(list, Unseen{"heartbeat", fmt.Sprintf(heartbeatNotSeen, s.Heartbeat.Channel)})
	}
	switch r.Windows {
	case "guess":
		list = append(list, Unseen{"windows", windowsGuessed})
	case "manual":
		list = append(list, Unseen{"windows", windowsFromManual})
	}
	for _, t := range r.Taps {
		if t.Heard && t.Kind == "bus" && t.Carries != "heard" {
			list = append(list, Unseen{"carries", fmt.Sprintf(valuesBehindStabiliser, t.Name, t.Carries)})
		}
	}
	return list
}

// losses says what the losses of the signal did not show.
func losses(r *Record, s *sheet.Sheet, g *Collector) (list []string) {
	t := triedOf(r.Losses)
	n := max(t.times, g.Absences.Flagged)
	switch n {
	case 0:
		return []string{lossNotTried}
	case 1:
		list = append(list, "Losing the signal was seen once only.")
	}
	switch {
	case t.early && !t.late:
		list = append(list, lossTriedEarly)
	case t.late && !t.early:
		list = append(list, lossNotTriedEarly)
	}
	if t.longest > 0 && t.longest < lossWatched {
		list = append(list, fmt.Sprintf(lossNotWatchedLonger, unit.FormatDuration(t.longest)))
	}
	if s.Failsafe == nil {
		list = append(list, "The sheet says nothing about failsafe, so nothing was judged.")
	}
	return list
}

// lossesTried is how losing the signal was tried.
type lossesTried struct {
	times       int
	early, late bool // soon after the bus was first heard, and later
	longest     unit.Duration
}

func triedOf(list []Loss) (t lossesTried) {
	for i := range list {
		d := &list[i].Data
		if !d.Shown() {
			continue
		}
		t.times++
		t.early, t.late = t.early || d.UpNS >= 0 && d.UpNS <= presetsUnsure, t.late || d.UpNS > presetsUnsure
		t.longest = max(t.longest, d.WatchedNS)
	}
	return t
}
