package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Finding is one thing that a loss of the signal showed to be wrong, or left
// open. Codes are stable, texts are for a builder.
type Finding struct {
	Code string
	Text string
}

// The codes.
const (
	CodeNothingLost   = "nothing lost"
	CodeNotMeasured   = "could not tell"
	CodeTooShort      = "too short"
	CodeTooEarly      = "too early"
	CodeThrottleUp    = "throttle up"
	CodeModeElsewhere = "mode elsewhere"
	CodeGainZero      = "gain at zero"
	CodeNotAtRest     = "not at rest"
	CodeMirrored      = "mirrored"
	CodeElsewhere     = "elsewhere"
	CodeShortHold     = "short hold"
	CodeNoPresetsYet  = "no presets yet"
	CodeFlagLate      = "flag late"
	CodeFlagNever     = "flag never"
	CodeSettledLate   = "settled late"
	CodeBackLate      = "back late"
	CodeBackNever     = "back never"
)

const (
	// backWithin is how soon control is to be back after the transmitter is on
	// (common practice: within seconds).
	backWithin = 3 * unit.Second
	// backWaited is how long control must be waited for before it did not come back.
	backWaited = 10 * unit.Second
	// holdShort is how long past the flag a hold may be before a word is said.
	holdShort = 100 * unit.Millisecond
	// presetsSent is how long a transmitter may take to send its presets for the
	// first time (common practice: a minute or two).
	presetsSent = 2 * unit.Minute
)

// Findings says what a loss showed, the gravest first.
func Findings(s *sheet.Sheet, d *event.LossData) (list []Finding) {
	add := func(code, format string, args ...any) {
		list = append(list, Finding{code, fmt.Sprintf(format, args...)})
	}
	if d.Class == event.LossNone {
		add(CodeNothingLost, wentOnMoving)
		return list
	}
	if s.Failsafe == nil {
		return nil // the sheet wants nothing
	}
	if lossTooShort(s, d) {
		add(CodeTooShort, backBeforeActing, unit.FormatDuration(d.WatchedNS))
		return append(list, timeFindings(s, d)...)
	}
	for i := range s.Channels {
		if c := &s.Channels[i]; c.Number <= len(d.Channels) {
			list = append(list, channelSeen(s, c, d)...)
		}
	}
	if want, ok := wantedMode(s); ok && want.shownBy(d) && d.Mode != want.name {
		add(CodeModeElsewhere, presetsAskForOtherMode, text.ModeName(d.Mode), text.ModeName(want.name))
	}
	list = append(list, timeFindings(s, d)...)
	if heldTooEarly(s, d) {
		add(CodeNoPresetsYet, "%s. Until they are sent, this receiver holds", presetsNotSent(d))
	}
	if d.Class == event.LossUnclear {
		add(CodeNotMeasured, "%s", howToMeasure(s, d))
	}
	return list
}

// dated reports that a loss has a last frame known live: times count from that.
func dated(d *event.LossData) bool {
	return d.DatedBy == "flags" || d.DatedBy == "heartbeat" || d.DatedBy == "stirred"
}

// presetsNotSent is for a loss so soon after the link came that there may have been no
// presets.
func presetsNotSent(d *event.LossData) string {
	return fmt.Sprintf(presetsMayNotBeSent, unit.FormatDuration(d.UpNS))
}

// lossTooShort reports a loss that was over before the receiver had to act.
func lossTooShort(s *sheet.Sheet, d *event.LossData) bool {
	return d.SilentNS < 0 && d.WatchedNS < s.Failsafe.Within
}

// channelSeen are the findings of a channel that was watched for long enough.
func channelSeen(s *sheet.Sheet, c *sheet.Channel, d *event.LossData) []Finding {
	l := &d.Channels[c.Number-1]
	if why, early := watchedTooShort(c.Name, l, d); early && l.Class != event.LossUnclear {
		if p, ok := s.Preset(c.Number); ok && p.Rule != sheet.Hold {
			return []Finding{{CodeTooEarly, why}}
		}
		return nil
	}
	return channelFindings(s, c, l)
}

// channelFindings are about one channel that is not where the sheet wants it.
func channelFindings(s *sheet.Sheet, c *sheet.Channel, l *event.LossChannel) (list []Finding) {
	if l.Class != event.LossPreset && l.Class != event.LossHold {
		return nil
	}
	tolerance := s.Tolerance.Preset
	want, wanted := s.Preset(c.Number)
	met := !wanted || want.Met(l.WasNS, l.NowNS, tolerance)
	if !met {
		list = append(list, misplaced(c, l, want))
	}
	if g := s.Gain; g != nil && g.Channel == c.Number && g.Law == "folded" && unit.Abs(l.NowNS-g.Zero) <= tolerance {
		list = append(list, Finding{CodeGainZero, fmt.Sprintf(foldedToNoGain, c.Name, unit.FormatWidth(l.NowNS))})
	}
	if !met && l.Class == event.LossPreset && isMirrored(s, c, want, l.NowNS) {
		list = append(list, Finding{CodeMirrored, fmt.Sprintf(presetMirrored, c.Name)})
	}
	return list
}

// misplaced says what it means that a channel is not where the sheet wants it.
func misplaced(c *sheet.Channel, l *event.LossChannel, want sheet.Preset) Finding {
	did := "went to " + unit.FormatWidth(l.NowNS)
	if l.Class == event.LossHold {
		did = "held " + unit.FormatWidth(l.NowNS)
	}
	switch c.Kind {
	case sheet.Throttle:
		if stopped(c, l.NowNS) {
			return Finding{CodeElsewhere, fmt.Sprintf(throttleBeyondCut, c.Name, did, wantedPreset(want), c.Number)}
		}
		return Finding{CodeThrottleUp, fmt.Sprintf(motorCouldRun, c.Name, did, wantedPreset(want), c.Number)}
	case sheet.Momentary:
		return Finding{CodeNotAtRest, fmt.Sprintf(switchCouldStart, c.Name, did, c.Number)}
	}
	return Finding{CodeElsewhere, fmt.Sprintf(presetElsewhere, c.Name, did, wantedPreset(want), c.Number)}
}

// stopped reports that a throttle stands at its cut or beyond it.
func stopped(c *sheet.Channel, width unit.Width) bool {
	full, _ := c.Place("full")
	if full.Width < cutOf(c) {
		return width >= cutOf(c)
	}
	return width <= cutOf(c)
}

// isMirrored reports that a width is the wanted one on the other side of the middle.
func isMirrored(s *sheet.Sheet, c *sheet.Channel, want sheet.Preset, now unit.Width) bool {
	if want.Rule == sheet.Hold {
		return false
	}
	middle := centre(s, c)
	back := 2*middle - now
	return unit.Abs(now-middle) > 3*s.Tolerance.Preset && unit.Abs(back-want.Width) <= 2*s.Tolerance.Preset
}

// centre is what a transmitter reverses a channel about: its neutral, or that of a
// stick, or else 1500 µs (common practice).
func centre(s *sheet.Sheet, c *sheet.Channel) unit.Width {
	if c.Neutral != 0 {
		return c.Neutral
	}
	for i := range s.Channels {
		if n := s.Channels[i].Neutral; n != 0 {
			return n
		}
	}
	return 1_500_000
}

// timeFindings are about flags and times.
func timeFindings(s *sheet.Sheet, d *event.LossData) (list []Finding) {
	within := s.Failsafe.Within
	if f, ok := flagFinding(s, d); ok {
		list = append(list, f)
	}
	if d.SettledNS-d.SettledUnheardNS > within && dated(d) {
		late := fmt.Sprintf(valuesRestedLate, unit.FormatDuration(d.SettledNS), unit.FormatDuration(within))
		list = append(list, Finding{CodeSettledLate, late})
	}
	if held := heldPastFlag(d); held > holdShort {
		list = append(list, Finding{CodeShortHold, fmt.Sprintf(presetsAfterFlag, unit.FormatDuration(held))})
	}
	switch {
	case d.OnNS >= 0 && d.BackNS < 0 && d.EndedNS-d.OnNS < backWaited:
	case d.OnNS >= 0 && d.BackNS < 0:
		list = append(list, Finding{CodeBackNever, controlNeverBack})
	case d.OnNS >= 0 && d.BackNS-d.OnNS-d.BackUnheardNS > backWithin:
		list = append(list, Finding{CodeBackLate, fmt.Sprintf(controlBackLate, unit.FormatDuration(d.BackNS-d.OnNS))})
	}
	return list
}

// flagFinding is about a flag that came late or never.
func flagFinding(s *sheet.Sheet, d *event.LossData) (Finding, bool) {
	early := d.WatchedNS < max(flagLatest, s.Failsafe.Within)
	switch {
	case d.Class == event.LossSilent && d.FailsafeNS < 0:
		return Finding{CodeFlagNever, silentInsteadOfFlag}, s.Failsafe.Flag == "required"
	case d.Flag == event.FlagClassLate:
		came, within := unit.FormatDuration(d.FailsafeNS), unit.FormatDuration(s.Failsafe.Within)
		return Finding{CodeFlagLate, fmt.Sprintf(failsafeFlagLate, came, within)}, true
	case d.Flag == event.FlagClassInTime || d.Class == event.LossUnclear || early: // or it may come yet
		return Finding{}, false
	case d.Flag == event.FlagClassLostOnly:
		return Finding{CodeFlagNever, lostFlagsOnly}, s.Failsafe.Flag == "required"
	}
	return Finding{CodeFlagNever, noFlagAtAll}, s.Failsafe.Flag != "absent"
}

// heldPastFlag is for how long presets kept the channels waiting past the flag.
func heldPastFlag(d *event.LossData) (held unit.Duration) {
	if d.FailsafeNS < 0 {
		return 0
	}
	for i := range d.Channels {
		if c := &d.Channels[i]; c.Class == event.LossPreset {
			held = max(held, c.HeldNS-d.FailsafeNS)
		}
	}
	return held
}

// heldTooEarly reports that channels were held which should have gone to a preset, so
// soon after the link came that there may have been no presets yet.
func heldTooEarly(s *sheet.Sheet, d *event.LossData) bool {
	if d.UpNS >= presetsSent {
		return false
	}
	held := false
	for i := range s.Channels {
		c := &s.Channels[i]
		if p, ok := s.Preset(c.Number); !ok || p.Rule == sheet.Hold || c.Number > len(d.Channels) {
			continue
		}
		switch d.Channels[c.Number-1].Class {
		case event.LossPreset:
			return false
		case event.LossHold:
			held = true
		}
	}
	return held
}

// howToMeasure says what to do differently.
func howToMeasure(s *sheet.Sheet, d *event.LossData) string {
	switch {
	case d.DatedBy == "builder" && s.Heartbeat == nil:
		return nothingShowedTheLoss
	case d.DatedBy == "builder":
		return noHeartbeatBrokeOff
	}
	return stoodWherePresetsMayBe
}
