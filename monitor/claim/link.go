package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the link.
const (
	sheetAllowsMissed        = "at most %s of the frames are missed on the air"
	noSpikesSeen             = "no channel left its value for a moment more than twice in %s"
	movementWithoutHeartbeat = "%s of known movement in %s; at rest a hold goes unseen, since no heartbeat was seen"
	missedShare              = "%s of the frames were missed on the air in %s, wherever transmitter and model were " +
		"meanwhile"
	tooFewMissed  = "%d frames were missed on the air in %s, too few to tell a share: go on listening"
	tooManyMissed = "%s of the frames were missed on the air in %s, the sheet allows %s: keep the " +
		"transmitter 2 to 3 m away and other radios off the bench, then check both aerials"
	lossNotFlagged = "without a flag: the receiver lost the transmitter and does not say so, or the transmitter stopped"
	heartbeatStood = "the heartbeat stood for %s, %s"
	leaptAndBack   = "many channels leapt in one frame and leapt back after %s, %s"
	frozeInMotion  = "all values froze while sticks were moving, for %s, and then leapt, %s"
	pausedOrLost   = "stood still for %s at %s: a pause or a loss, can't be told"
	spikesSeen     = "channel %d left its value %d times for a moment, last from %s to %s: look for a worn control or a " +
		"mix that switches in the transmitter, and for damage on the wire"
)

// spikesReported is how many spikes are no accident: damage that passes for a frame
// makes one now and then.
const spikesReported = 3

// link judges the radio link and that values move as they should. All it says of
// what never happened rests on what was watched, and so does the share of missed
// frames: what the receiver flagged in a loss is the failsafe's business.
type link struct {
	Watched exposures   `json:"watched"`
	Spikes  map[int]int `json:"spikes"` // by channel
	Phone   phone       `json:"phone"`
	Paused  string      `json:"paused"` // the latest stop that may be a pause or a loss, "": none
}

func newLink(b *Book) *link {
	l := &link{Spikes: map[int]int{}}
	if b.sheet.Link != nil {
		b.add(FamilyLink.of("missed"), fmt.Sprintf(sheetAllowsMissed, share(b.sheet.Link.MissedAtMost)), listenOn(leastShare))
	}
	b.add(FamilyLink.of("moving"), "values never freeze while something is known to move", listenOn(leastMoving))
	b.add(FamilyLink.of("spikes"), "no channel leaves its value for a moment and comes back", listenOn(leastSpikes))
	return l
}

// share is parts per million as a percentage.
func share(ppm int64) string { return fmt.Sprintf("%g %%", float64(ppm)/10_000) }

func (l *link) see(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.ValuesStillData:
		l.still(e, &d, b)
	case event.ValueSpikedData:
		if !l.Phone.since(e.From) { // a radio beside the wires
			l.spike(&d, span, b)
		}
	case event.FramesMissingData:
		l.missed(e, &d, b)
	case event.ExposureData:
		l.watched(e, &d, b)
	}
	l.Phone.hears(e)
	if e.Kind == event.SessionEnded && len(l.Watched.Taps) == 0 {
		l.judge(&exposure{}, span, b)
	}
}

// missed takes a run of missed frames: too many are reported while listening goes on.
func (l *link) missed(e *event.Event, d *event.FramesMissingData, b *Book) {
	tap, ok := event.AboutTap.Name(e.About)
	if e.Kind != event.AirMissed || d.Loss || !ok || e.From < l.Watched.Since {
		return
	}
	x := l.Watched.of(tap)
	if air := sum(x.Air, d.LinkFigures); air.LinkNS >= leastShare && tooMany(&air, b) {
		l.share(&air, x.span(e.At), b)
	}
}

func (l *link) watched(e *event.Event, d *event.ExposureData, b *Book) {
	if x := l.Watched.add(e, d); x != nil {
		l.judge(x, x.span(e.At), b)
	}
}

// judge says what never happened, or what is lacking before that says anything.
func (l *link) judge(x *exposure, span event.Span, b *Book) {
	short, still := lacksTime(x.Air.LinkNS, leastShare), x.lacksLife()
	if short != "" || still != "" && !tooMany(&x.Air, b) {
		b.unclear(FamilyLink.ID("missed"), lacking("the share of frames missed on the air is not known", short, still))
	} else {
		l.share(&x.Air, span, b)
	}
	heard := l.heard(x, b)
	if short := lacksTime(heard, leastSpikes); short != "" || still != "" {
		b.unclear(FamilyLink.ID("spikes"), lacking("no channel left its value for a moment more than twice so far", short, still))
	} else {
		b.right(FamilyLink.ID("spikes"), fmt.Sprintf(noSpikesSeen, unit.FormatDuration(heard)),
			span, map[string]int64{"heard_ns": int64(heard)})
	}
	l.moving(x, span, b)
}

// heard is for how long a spike would have counted: time with a phone near is left out, as it is of the link.
func (l *link) heard(x *exposure, b *Book) unit.Duration {
	if b.sheet.HasPhone() {
		return min(x.Live, x.Air.LinkNS)
	}
	return x.Live
}

func (l *link) moving(x *exposure, span event.Span, b *Book) {
	if lack := x.lacksMovement(); l.Paused != "" || lack != "" {
		if l.Paused != "" {
			lack = l.Paused
		}
		b.unclear(FamilyLink.ID("moving"), lacking("values were not seen to freeze so far", lack))
		return
	}
	by := fmt.Sprintf("%s in which the heartbeat beat", unit.FormatDuration(x.Beating))
	if x.Beating < leastMoving {
		by = fmt.Sprintf(movementWithoutHeartbeat, unit.FormatDuration(x.Moving), spells(x.Spells))
	}
	b.right(FamilyLink.ID("moving"), "values never froze in "+by, span, map[string]int64{
		"heard_ns": int64(x.Live), "moving_ns": int64(x.Moving), "spells": x.Spells, "beating_ns": int64(x.Beating),
	})
}

// share says what the share of missed frames is.
func (l *link) share(air *event.LinkFigures, span event.Span, b *Book) {
	if b.sheet.Link == nil {
		return
	}
	ppm := missedOf(air)
	figures := map[string]int64{"missed_ppm": ppm, "missed_frames": air.LinkMissed, "frames": air.LinkFrames, "heard_ns": int64(air.LinkNS)}
	switch {
	case !tooMany(air, b):
		b.right(FamilyLink.ID("missed"), fmt.Sprintf(missedShare, share(ppm), unit.FormatDuration(air.LinkNS)), span, figures)
	case air.LinkMissed < leastMissed:
		b.unclear(FamilyLink.ID("missed"), fmt.Sprintf(tooFewMissed, air.LinkMissed, unit.FormatDuration(air.LinkNS)))
	default:
		b.wrong(FamilyLink.ID("missed"), fmt.Sprintf(tooManyMissed,
			share(ppm), unit.FormatDuration(air.LinkNS), share(b.sheet.Link.MissedAtMost)), span, figures)
	}
}

func missedOf(air *event.LinkFigures) int64 {
	return air.LinkMissed * 1_000_000 / max(1, air.LinkFrames)
}

func tooMany(air *event.LinkFigures, b *Book) bool {
	return b.sheet.Link != nil && missedOf(air) > b.sheet.Link.MissedAtMost
}

// frozen says how a loss without a flag was seen.
func frozen(d *event.ValuesStillData) string {
	switch d.Because {
	case "heartbeat":
		return fmt.Sprintf(heartbeatStood, unit.FormatDuration(d.ForNS), lossNotFlagged)
	case "leapt":
		return fmt.Sprintf(leaptAndBack, unit.FormatDuration(d.ForNS), lossNotFlagged)
	}
	return fmt.Sprintf(frozeInMotion, unit.FormatDuration(d.ForNS), lossNotFlagged)
}

// still judges values that stood while something was known to move. Sticks that
// stopped in full motion, perhaps by a hand, are neither for nor against: they leave
// open that nothing froze.
func (l *link) still(e *event.Event, d *event.ValuesStillData, b *Book) {
	switch e.Kind {
	case event.ValuesStill:
		if l.Phone.since(e.From) {
			l.pause(frozen(d)+"; "+phoneIsARadio, b)
			return
		}
		b.wrong(FamilyLink.ID("moving"), frozen(d), event.Span{From: e.From, To: e.At}, map[string]int64{"for_ns": int64(d.ForNS)})
	case event.ValuesPaused:
		l.pause(fmt.Sprintf(pausedOrLost, unit.FormatDuration(d.ForNS), unit.FormatClock(e.From)), b)
	}
}

// pause takes a stop of which nobody knows what it was.
func (l *link) pause(why string, b *Book) {
	l.Paused = why
	b.doubt(FamilyLink.ID("moving"), lacking("values were not seen to freeze so far", l.Paused))
}

func (l *link) spike(d *event.ValueSpikedData, span event.Span, b *Book) {
	l.Spikes[d.Channel]++
	if n := l.Spikes[d.Channel]; n >= spikesReported {
		b.wrong(FamilyLink.ID("spikes"), fmt.Sprintf(spikesSeen,
			d.Channel, n, unit.FormatWidth(d.FromNS), unit.FormatWidth(d.ToNS)), span, map[string]int64{"times": int64(n)})
	}
}

func (l *link) forget(what string, at unit.Time) {
	if what == TopicAll {
		l.Watched.forget(at)
		l.Paused = ""
		clear(l.Spikes)
	}
}
