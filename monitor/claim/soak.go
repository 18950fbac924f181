package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of a long run. Whole hours, always on average.
const (
	wantedOneIn = "on average there is at most one occasion of outages in %s of a live link"
	oneInSeen   = "occasions of outages come no more often than once in %s on average, 95 %% sure: %s in %s of a live link, on this bench under these conditions"
	oneInBroken = "occasions of outages come more often than once in %s on average, 95 %% sure: %s in %s of a live link; see when they came and what was " +
		"on then, then look at supply, antennas and distance, one at a time: the wire does not say which"
	oneInLacking = "at most one occasion of outages in %s is not shown yet: %s in %s of a live link bear out one in %s"
	oneInNothing = "at most one occasion of outages in %s is not shown yet: %s in %s of a live link bear out nothing so far"
	lastUnknown  = "; the signal that is gone counts as an outage of the receiver"

	wantedMissed = "at most %s of the frames are missed on the air over the whole run"
	missedSeen   = "%s of the frames were missed on the air, at most %s on average, 95 %% sure, in %s of a live link"
	missedBroken = "%s of the frames were missed on the air, at least %s on average, 95 %% sure, in %s of a live link; the sheet allows %s: look at antennas, " +
		"distance and what sends nearby, one at a time: the wire does not say which"
	missedUnknown = "%d of %d frames were missed on the air; the share is judged at the end of a sitting"
	missedRarely  = "%d of %d frames were missed on the air, in runs too few for a share; that was in %d of %d minutes, so even if all of such a minute's " +
		"were missed, at most %s of the frames are on average, 95 %% sure, in %s of a live link"
	missedTooFew = "%d of %d frames were missed on the air; an interval for their share takes 20 runs of missed frames; with fewer it is held against the " +
		"minutes in which one was missed, %d of %d, which bear out at most %s: run for longer"
	missedOpen = "%s of the frames were missed on the air, between %s and %s, 95 %% sure: the sheet's %s lies between, so run for longer"
)

// soak judges the limits that the sheet names for a long run, for each bus. What it goes by
// was reckoned with the evidence (event.SoakData): a bound that holds at every moment for outages, so it is
// judged as they come in; one that holds where it is looked at once for the share of missed
// frames, so that waits for the end of a sitting.
type soak struct {
	Latest map[string]event.SoakData `json:"latest"`   // by tap
	Since  unit.Time                 `json:"since_ns"` // an account that began before does not count
}

func newSoak(b *Book) *soak {
	k := b.sheet.Soak
	if k.OneIn > 0 {
		b.add(FamilySoak.of("outages"), fmt.Sprintf(wantedOneIn, inHours(k.OneIn)), listenOn(4*k.OneIn))
	}
	if k.MissedAtMost >= 0 {
		b.add(FamilySoak.of("missed"), fmt.Sprintf(wantedMissed, share(k.MissedAtMost)), listenOn(12*unit.Minute))
	}
	return &soak{Latest: map[string]event.SoakData{}}
}

func (k *soak) forget(what string, at unit.Time) {
	if what == TopicAll {
		k.Latest, k.Since = map[string]event.SoakData{}, at
	}
}

func inHours(d unit.Duration) string { return fmt.Sprintf("%d h", d/(60*unit.Minute)) }

func occasions(n int64) string {
	if n == 1 {
		return "1 occasion"
	}
	return fmt.Sprintf("%d occasions", n)
}

func (k *soak) see(e *event.Event, b *Book) {
	d, ok := e.Data.(event.SoakData)
	if !ok || e.From < k.Since {
		return
	}
	k.Latest[d.Tap] = d
	span := event.Span{From: e.From, To: e.At}
	if b.sheet.Soak.OneIn > 0 {
		k.outages(span, b)
	}
	if b.sheet.Soak.MissedAtMost >= 0 {
		k.missed(span, b)
	}
}

// outages judges the tap that bears out least.
func (k *soak) outages(span event.Span, b *Book) {
	id, limit := FamilySoak.ID("outages"), b.sheet.Soak.OneIn
	var d *event.SoakData
	for _, tap := range b.sheet.Taps {
		if x, ok := k.Latest[tap.Name]; ok && (d == nil || x.BrokenNS > 0 || d.BrokenNS == 0 && x.OneInNS < d.OneInNS) {
			d = &x
		}
	}
	if d == nil {
		return
	}
	figures := map[string]int64{"live_ns": int64(d.LiveNS), "occasions": d.Occasions, "outages": d.Outages, "one_in_ns": int64(d.OneInNS)}
	seen, last := unit.FormatSpan(d.LiveNS), ""
	if d.Gone {
		last = lastUnknown
	}
	switch {
	case d.BrokenNS > 0:
		b.wrong(id, fmt.Sprintf(oneInBroken, inHours(limit), occasions(d.Occasions), seen), span, figures)
	case d.OneInNS >= limit:
		b.right(id, fmt.Sprintf(oneInSeen, inHours(d.OneInNS), occasions(d.Occasions), seen)+last, span, figures)
	case d.OneInNS > 0:
		b.doubt(id, fmt.Sprintf(oneInLacking, inHours(limit), occasions(d.Occasions), seen, inHours(d.OneInNS))+last)
	default:
		b.doubt(id, fmt.Sprintf(oneInNothing, inHours(limit), occasions(d.Occasions), seen)+last)
	}
}

// mostMissed is what the share does not exceed, as far as is known.
func mostMissed(d *event.SoakData) int64 {
	switch {
	case d.Known:
		return d.HighPPM
	case d.Minutes > 0:
		return d.AtMostPPM
	}
	return 1_000_000
}

// missesMost is the tap that misses more than the limit, else the one of which least is known;
// nil where nothing was counted.
func (k *soak) missesMost(taps []sheet.Tap, limit int64) (d *event.SoakData) {
	for _, tap := range taps {
		if x, ok := k.Latest[tap.Name]; ok && (d == nil || x.LowPPM > limit || d.LowPPM <= limit && mostMissed(&x) > mostMissed(d)) {
			d = &x
		}
	}
	return d
}

// missed judges the share of missed frames of the tap that misses most.
func (k *soak) missed(span event.Span, b *Book) {
	id, limit := FamilySoak.ID("missed"), b.sheet.Soak.MissedAtMost
	d := k.missesMost(b.sheet.Taps, limit)
	if d == nil {
		return
	}
	figures := map[string]int64{"missed_ppm": d.PPM, "low_ppm": d.LowPPM, "high_ppm": d.HighPPM, "live_ns": int64(d.LiveNS)}
	switch {
	case !d.Ended || !d.Known && d.Minutes == 0:
		b.unclear(id, fmt.Sprintf(missedUnknown, d.Missed, d.Frames))
	case !d.Known:
		k.missedRarely(d, span, b)
	case d.HighPPM <= limit:
		b.right(id, fmt.Sprintf(missedSeen, share(d.PPM), share(d.HighPPM), unit.FormatSpan(d.LiveNS)), span, figures)
	case d.LowPPM > limit:
		b.wrong(id, fmt.Sprintf(missedBroken, share(d.PPM), share(d.LowPPM), unit.FormatSpan(d.LiveNS), share(limit)), span, figures)
	default:
		b.doubt(id, fmt.Sprintf(missedOpen, share(d.PPM), share(d.LowPPM), share(d.HighPPM), share(limit)))
	}
}

// missedRarely judges a share that too few runs of missed frames have no interval for.
func (k *soak) missedRarely(d *event.SoakData, span event.Span, b *Book) {
	id, limit := FamilySoak.ID("missed"), b.sheet.Soak.MissedAtMost
	if d.AtMostPPM > limit {
		b.doubt(id, fmt.Sprintf(missedTooFew, d.Missed, d.Frames, d.Hit, d.Minutes, share(d.AtMostPPM)))
		return
	}
	figures := map[string]int64{"minutes": d.Minutes, "minutes_missed": d.Hit, "high_ppm": d.AtMostPPM, "live_ns": int64(d.LiveNS)}
	b.right(id, fmt.Sprintf(missedRarely, d.Missed, d.Frames, d.Hit, d.Minutes, share(d.AtMostPPM), unit.FormatSpan(d.LiveNS)), span, figures)
}
