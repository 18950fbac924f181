package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of flags, presets and the return.
const (
	flagWithoutDate = "the failsafe flag came, but when the signal went is not on the bus: no frame was flagged as lost " +
		"before. Move a stick round and round while you switch the transmitter off"
	flagUnheard = "whether the failsafe flag came within %s is not known: for %s before it was there, %s after the last live frame, no " +
		"frame was heard that could show it; lose the signal once more"
	restUnheard = "whether values came to rest within %s is not known: for %s before they had, %s after the last live frame, no " +
		"frame was heard that could show it; lose the signal once more"
	backUnheard = "whether control is back within %s is not known: for %s before it was, %s after the transmitter was said to be on, no " +
		"frame was heard that could show it; lose the signal once more"
	flaggedAfter       = "the receiver flagged a failsafe %s after the last live frame"
	flagCameAfter      = "the failsafe flag came %s after the last live frame"
	noFlagBeforeReturn = "no failsafe flag came in the %s until the signal was back: leave the transmitter off for longer"
	heldForShort       = "%s held %s for the %s that this was watched; a preset may come later: leave the transmitter " +
		"off for %s at least"
	stayedForShort = "%s stood at %s when the signal went and stayed for the %s that this was watched: %s"
	stillUnderWay  = "%s was still on its way when this ended, at %s: leave the transmitter off for %s at least"
	stoodAsWanted  = "without a signal %s stood at %s, as the sheet wants; it stood at %s before"
	backBeforeOn   = "control was back before the transmitter was said to be on, so the time is not known: press Enter " +
		"in the moment in which you switch it on"
	backAfterOn = "control was back %s after the transmitter was said to be on"
)

const (
	// flagLatest is how long after the last live frame a failsafe flag may still come
	// (common practice: 0.5 to 1.5 s; twice that is a choice of ours).
	flagLatest = 3 * unit.Second
)

// lost judges a loss that is over.
func (f *failsafe) lost(d *event.LossData, span event.Span, b *Book) {
	if d.Class == event.LossNone || d.Class == event.LossUnclear && d.Flag == event.FlagClassNever {
		f.explainOpen(d, b)
		return
	}
	found := map[string]string{}
	for _, x := range Findings(b.sheet, d) {
		found[x.Code] = x.Text
	}
	beside := f.Phone.since(span.From)
	if beside {
		b.unclear(FamilyFailsafe.ID("time"), phoneIsARadio)
		b.unclear(FamilyFailsafe.ID("back"), phoneIsARadio)
	} else {
		f.flag(d, found, span, b)
	}
	if !lossTooShort(b.sheet, d) {
		for i := range d.Channels {
			if c, ok := b.sheet.Channel(i + 1); ok {
				f.channel(c, &d.Channels[i], d, span, b)
			}
		}
		f.mode(d, found, span, b)
	}
	if !beside {
		f.back(d, found, span, b)
	}
}

// explainOpen says of what is still open why it could not be judged: once in full.
func (f *failsafe) explainOpen(d *event.LossData, b *Book) {
	for _, x := range Findings(b.sheet, d) {
		if x.Code != CodeNothingLost && x.Code != CodeNotMeasured {
			continue
		}
		said := false
		for _, c := range b.claims {
			switch {
			case c.Verdict != VerdictOpen || c.Settle.Drill != drill.Failsafe:
			case said:
				c.unsettle(c.open + "; " + inShort[x.Code])
			default:
				c.unsettle(c.open + "; " + x.Text)
				said = true
			}
		}
	}
}

// inShort are the findings that leave everything open, for all claims but the first.
var inShort = map[string]string{
	CodeNothingLost: "nothing was lost when it was tried",
	CodeNotMeasured: "it was tried, and could not be told",
}

// flag judges whether the flag came, and when.
func (f *failsafe) flag(d *event.LossData, found map[string]string, span event.Span, b *Book) {
	times := map[string]int64{"lost_ns": int64(d.LostNS), "after_ns": int64(d.FailsafeNS), "settled_ns": int64(d.SettledNS)}
	after := unit.FormatDuration(d.FailsafeNS)
	settled, slow := found[CodeSettledLate]
	switch why, never := found[CodeFlagNever]; {
	case d.FailsafeNS >= 0 && !dated(d):
		b.right(FamilyFailsafe.ID("flag"), "the receiver flagged a failsafe", span, times)
		b.unclear(FamilyFailsafe.ID("time"), flagWithoutDate)
	case d.FailsafeNS >= 0:
		b.right(FamilyFailsafe.ID("flag"), fmt.Sprintf(flaggedAfter, after), span, times)
		if why, late := found[CodeFlagLate]; late {
			b.wrong(FamilyFailsafe.ID("time"), why+", or the sheet is wrong", span, times)
		} else if !slow {
			f.inTime(d, span, times, b)
		}
	case never && b.sheet.Failsafe.Flag == "required":
		b.wrong(FamilyFailsafe.ID("flag"), why, span, times)
		b.wrong(FamilyFailsafe.ID("time"), "no failsafe flag came, so none came in time; failsafe/flag says what to do", span, times)
	case !never:
		b.unclear(FamilyFailsafe.ID("flag"), fmt.Sprintf(noFlagBeforeReturn, unit.FormatDuration(d.WatchedNS)))
	}
	if slow {
		b.wrong(FamilyFailsafe.ID("time"), settled+": shorten the receiver's delay, if it has one", span, times)
	}
}

// inTime judges a flag that did not come late for sure, where nothing else did.
func (f *failsafe) inTime(d *event.LossData, span event.Span, times map[string]int64, b *Book) {
	within, after := b.sheet.Failsafe.Within, unit.FormatDuration(d.FailsafeNS)
	unheard := func(sentence string, by, after unit.Duration) {
		b.unclear(FamilyFailsafe.ID("time"), fmt.Sprintf(sentence, unit.FormatDuration(within), unit.FormatDuration(by), unit.FormatDuration(after)))
	}
	switch {
	case d.FlagUnheardNS > 0 && d.FailsafeNS > within:
		unheard(flagUnheard, d.FlagUnheardNS, d.FailsafeNS)
	case d.SettledNS > within:
		unheard(restUnheard, d.SettledUnheardNS, d.SettledNS)
	case d.FailsafeNS+d.DoubtNS <= within:
		b.right(FamilyFailsafe.ID("time"), fmt.Sprintf(flagCameAfter, after), span, times)
	}
}

// watchedTooShort reports that a channel was not watched for long enough to know what becomes
// of it, and says so.
func watchedTooShort(name string, l *event.LossChannel, d *event.LossData) (string, bool) {
	switch {
	case l.Class == event.LossHold && d.WatchedNS < event.MaxPresetDelay:
		return fmt.Sprintf(heldForShort,
			name, unit.FormatWidth(l.NowNS), unit.FormatDuration(d.WatchedNS), unit.FormatDuration(event.MaxPresetDelay)), true
	case l.Class == event.LossUnclear && d.WatchedNS < event.MaxPresetDelay:
		return fmt.Sprintf(stayedForShort, name, unit.FormatWidth(l.NowNS), unit.FormatDuration(d.WatchedNS), text.PresetOrHold), true
	case l.Class == event.LossUnderWay:
		return fmt.Sprintf(stillUnderWay, name, unit.FormatWidth(l.NowNS), unit.FormatDuration(event.MaxPresetDelay)), true
	}
	return "", false
}

// channel judges where one channel went.
func (f *failsafe) channel(c *sheet.Channel, l *event.LossChannel, d *event.LossData, span event.Span, b *Book) {
	want, ok := b.sheet.Preset(c.Number)
	if !ok || l.Class == event.LossSilent || l.Class == event.LossMoving {
		return
	}
	id, figures := FamilyFailsafe.ID(c.Name), map[string]int64{"was_ns": int64(l.WasNS), "now_ns": int64(l.NowNS)}
	if why, early := watchedTooShort(c.Name, l, d); early {
		b.unclear(id, why)
		return
	}
	tolerance := b.sheet.Tolerance.Preset
	if l.Class == event.LossUnclear && f.chance(c, want, l.NowNS, tolerance) {
		b.unclear(id, stayed(c, l.WasNS))
		return
	}
	if !want.Met(l.WasNS, l.NowNS, tolerance) {
		texts := channelFindings(b.sheet, c, l)
		sentence := texts[0].Text
		for _, more := range texts[1:] {
			sentence += "; " + more.Text
		}
		if heldTooEarly(b.sheet, d) {
			sentence += "; " + presetsNotSent(d)
		}
		b.wrong(id, "without a signal "+sentence, span, figures)
		return
	}
	b.right(id, fmt.Sprintf(stoodAsWanted, c.Name, unit.FormatWidth(l.NowNS), unit.FormatWidth(l.WasNS)), span, figures)
}

func (f *failsafe) mode(d *event.LossData, found map[string]string, span event.Span, b *Book) {
	want, ok := wantedMode(b.sheet)
	if !ok || !want.shownBy(d) {
		return
	}
	figures := map[string]int64{"after_ns": int64(d.ModeNS)}
	if d.Mode == want.name {
		sentence := "without a signal the bus asks for " + text.ModeName(want.name)
		if dated(d) {
			sentence += fmt.Sprintf(", %s after the last live frame", unit.FormatDuration(d.ModeNS))
		}
		b.right(FamilyFailsafe.ID("mode"), sentence, span, figures)
		return
	}
	b.wrong(FamilyFailsafe.ID("mode"), found[CodeModeElsewhere], span, figures)
}

func (f *failsafe) back(d *event.LossData, found map[string]string, span event.Span, b *Book) {
	if d.OnNS < 0 && d.BackNS >= 0 && b.drills.Plan(d.Drill).Loses {
		b.unclear(FamilyFailsafe.ID("back"), backBeforeOn)
	}
	if d.OnNS < 0 {
		return
	}
	figures := map[string]int64{"back_ns": int64(max(0, d.BackNS-d.OnNS))}
	for _, code := range []string{CodeBackNever, CodeBackLate} {
		if why, ok := found[code]; ok {
			b.wrong(FamilyFailsafe.ID("back"), why, span, figures)
			return
		}
	}
	if d.BackNS < 0 {
		return // not waited for
	}
	if late := d.BackNS - d.OnNS; late > backWithin {
		unheard := unit.FormatDuration(d.BackUnheardNS)
		b.unclear(FamilyFailsafe.ID("back"), fmt.Sprintf(backUnheard, unit.FormatDuration(backWithin), unheard, unit.FormatDuration(late)))
		return
	}
	b.right(FamilyFailsafe.ID("back"), fmt.Sprintf(backAfterOn, unit.FormatDuration(max(0, d.BackNS-d.OnNS))), span, figures)
}
