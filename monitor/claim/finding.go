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
	NothingLost   = "nothing lost"
	NotMeasured   = "could not tell"
	TooShort      = "too short"
	TooEarly      = "too early"
	ThrottleUp    = "throttle up"
	ModeElsewhere = "mode elsewhere"
	GainZero      = "gain at zero"
	NotAtRest     = "not at rest"
	Mirrored      = "mirrored"
	ElsewhereSet  = "elsewhere"
	ShortHold     = "short hold"
	NoPresetsYet  = "no presets yet"
	FlagLate      = "flag late"
	FlagNever     = "flag never"
	SettledLate   = "settled late"
	BackLate      = "back late"
	BackNever     = "back never"
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
		add(NothingLost, "nothing was lost: values went on moving and no flag came; another transmitter or a second transmitter module still sends, a second receiver feeds this bus, or the transmitter was not off")
		return list
	}
	if lossTooShort(s, d) {
		add(TooShort, "the signal was back after %s, sooner than the sheet wants the receiver to have done anything: what it does was not seen", unit.FormatSpan(d.WatchedNS))
		return append(list, timeFindings(s, d)...)
	}
	for i := range s.Channels {
		if c := &s.Channels[i]; c.Number <= len(d.Channels) {
			list = append(list, channelSeen(s, c, d)...)
		}
	}
	if want, ok := wantedMode(s); ok && want.shownBy(d) && d.Mode != want.name {
		add(ModeElsewhere, "without a signal the bus asks for %s, the sheet wants %s: set the failsafe of the mode channels anew", text.ModeName(d.Mode), text.ModeName(want.name))
	}
	list = append(list, timeFindings(s, d)...)
	if heldTooEarly(s, d) {
		add(NoPresetsYet, "%s. Until they are sent, this receiver holds", presetsNotSent(d))
	}
	if d.Class == event.LossUnclear {
		add(NotMeasured, "%s", howToMeasure(s, d))
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
	return fmt.Sprintf("the link had been up for only %s: presets that live in the transmitter may not have been sent by then; see it once more after two minutes", unit.FormatSpan(d.UpNS))
}

// lossTooShort reports a loss that was over before the receiver had to act.
func lossTooShort(s *sheet.Sheet, d *event.LossData) bool {
	return d.SilentNS < 0 && d.WatchedNS < unit.Time(s.Failsafe.Within)
}

// channelSeen are the findings of a channel that was watched for long enough.
func channelSeen(s *sheet.Sheet, c *sheet.Channel, d *event.LossData) []Finding {
	l := &d.Channels[c.Number-1]
	if why, early := watchedTooShort(c.Name, l, d); early && l.Class != event.LossUnclear {
		if p, ok := s.Preset(c.Number); ok && p.Rule != sheet.Hold {
			return []Finding{{TooEarly, why}}
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
		list = append(list, Finding{GainZero, fmt.Sprintf("%s stands at %s, the middle of a gain that is folded about it: without a signal the stabiliser does nothing at all", c.Name, unit.FormatWidth(l.NowNS))})
	}
	if !met && l.Class == event.LossPreset && isMirrored(s, c, want, l.NowNS) {
		list = append(list, Finding{Mirrored, fmt.Sprintf("%s stands where the sheet wants it, mirrored: the channel may have been reversed after its failsafe was set; set it again", c.Name)})
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
			return Finding{ElsewhereSet, fmt.Sprintf("%s %s, at its cut or beyond, which stops a motor; the sheet wants that it %s: set the failsafe of channel %d anew, or the sheet", c.Name, did, wantedPreset(want), c.Number)}
		}
		return Finding{ThrottleUp, fmt.Sprintf("%s %s; the sheet wants that it %s: a motor could run with nobody to stop it. Set the failsafe of channel %d to cut, with throttle cut on", c.Name, did, wantedPreset(want), c.Number)}
	case sheet.Momentary:
		return Finding{NotAtRest, fmt.Sprintf("%s %s, which is not where it rests: without a signal it may start what its switch starts. Set the failsafe of channel %d to rest", c.Name, did, c.Number)}
	}
	return Finding{ElsewhereSet, fmt.Sprintf("%s %s; the sheet wants that it %s: set the failsafe of channel %d anew, in the receiver or where the transmitter keeps it", c.Name, did, wantedPreset(want), c.Number)}
}

// stopped reports that a throttle stands at its cut or beyond it.
func stopped(c *sheet.Channel, width int64) bool {
	full, _ := c.Place("full")
	if full.Width < cutOf(c) {
		return width >= cutOf(c)
	}
	return width <= cutOf(c)
}

// isMirrored reports that a width is the wanted one on the other side of the middle.
func isMirrored(s *sheet.Sheet, c *sheet.Channel, want sheet.Preset, now int64) bool {
	if want.Rule == sheet.Hold {
		return false
	}
	middle := centre(s, c)
	back := 2*middle - now
	return unit.Abs(now-middle) > 3*s.Tolerance.Preset && unit.Abs(back-want.Width) <= 2*s.Tolerance.Preset
}

// centre is what a transmitter reverses a channel about: its neutral, or that of a
// stick, or else 1500 µs (common practice).
func centre(s *sheet.Sheet, c *sheet.Channel) int64 {
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
	within := unit.Time(s.Failsafe.Within)
	if f, ok := flagFinding(s, d); ok {
		list = append(list, f)
	}
	if d.SettledNS > within && dated(d) {
		list = append(list, Finding{SettledLate, fmt.Sprintf("the values came to rest %s after the last live frame, the sheet wants %s", unit.FormatSpan(d.SettledNS), unit.FormatSpan(within))})
	}
	if held := heldPastFlag(d); held > holdShort {
		list = append(list, Finding{ShortHold, fmt.Sprintf("the last values were held for %s after the flag before the presets came", unit.FormatSpan(held))})
	}
	switch {
	case d.OnNS >= 0 && d.BackNS < 0 && d.EndedNS-d.OnNS < backWaited:
	case d.OnNS >= 0 && d.BackNS < 0:
		list = append(list, Finding{BackNever, "control did not come back: see whether the transmitter warns about sticks or switches away from home, whether it sends at all, and whether the receiver has to be switched off and on"})
	case d.OnNS >= 0 && d.BackNS-d.OnNS > backWithin:
		list = append(list, Finding{BackLate, fmt.Sprintf("control came back only %s after the transmitter was said to be on: were sticks and switches home? Some transmitters send nothing before; if they were, the receiver is slow to find it again", unit.FormatSpan(d.BackNS-d.OnNS))})
	}
	return list
}

// flagFinding is about a flag that came late or never.
func flagFinding(s *sheet.Sheet, d *event.LossData) (Finding, bool) {
	early := d.WatchedNS < max(flagLatest, unit.Time(s.Failsafe.Within))
	switch {
	case d.Class == event.LossSilent && d.FailsafeNS < 0:
		return Finding{FlagNever, "the receiver falls silent instead of setting the failsafe flag, which the sheet requires; if that is how it is, say flag: absent in the sheet"}, s.Failsafe.Flag == "required"
	case d.Flag == event.FlaggedLate:
		return Finding{FlagLate, fmt.Sprintf("the failsafe flag came %s after the last live frame, the sheet wants %s: shorten the receiver's delay, if it has one", unit.FormatSpan(d.FailsafeNS), unit.FormatSpan(unit.Time(s.Failsafe.Within)))}, true
	case d.Flag == event.Flagged || d.Class == event.LossUnclear || early: // or it may come yet
		return Finding{}, false
	case d.Flag == event.FlaggedLost:
		return Finding{FlagNever, "the receiver flags frames as lost but never sets the failsafe flag: what waits for that flag will never see a loss; if the receiver can't do better, say flag: optional in the sheet"}, s.Failsafe.Flag == "required"
	}
	return Finding{FlagNever, "no flag came at all: such a loss looks like a transmitter that nobody touches, or like a second one that still sends: see that there is none. If the receiver can't do better, say flag: absent in the sheet"}, s.Failsafe.Flag != "absent"
}

// heldPastFlag is for how long presets kept the channels waiting past the flag.
func heldPastFlag(d *event.LossData) (held unit.Time) {
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
		return "it could not be told whether the signal was lost: nothing on the bus moved and no flag came. Move a stick round and round while you switch the transmitter off, or send a slow sawtooth on a spare channel and name it as heartbeat in the sheet"
	case d.DatedBy == "builder":
		return "it could not be told whether the signal was lost: the heartbeat did not beat. Mix the sawtooth to its channel in the transmitter"
	}
	return "it could not be told whether the receiver holds or goes to presets: everything stood where its preset may be. Put sticks and switches visibly away from their presets before the transmitter goes off"
}
