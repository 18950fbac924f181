package view

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// restParts are what the status line says behind the gain: trouble first, then the
// time, then what is good to know.
func restParts(s *state.State, sh *sheet.Sheet, buses, boards []*state.Tap) (parts []statusPart) {
	add := func(part state.PartName, text string, g Grade) {
		parts = append(parts, statusPart{part: part, text: text, grade: g})
	}
	for _, t := range s.Recorder.Troubles() {
		part := recorderWords[t]
		add(state.PartRecorder, part.text, part.grade)
	}
	if s.Behind() > 0 {
		add(state.PartLate, "JUDGED LATE", Trouble)
	}
	if n := s.VerdictCount().Wrong; n > 0 {
		add(state.PartWrong, fmt.Sprintf("%d SEEN WRONG", n), Wrong)
	}
	parts = append(parts, besideBuses(s, boards)...)
	soak := soakParts(s, sh)
	parts = append(parts, soak...)
	add(state.PartTime, clock(s.NowNS), Plain)
	if len(soak) > 0 {
		parts = append(parts, gainParts(sh, buses)...)
	}
	if s.Drill != "" {
		add(state.PartDrill, "drill "+s.Drill, Plain)
	}
	for i := range sh.Channels {
		if c := &sh.Channels[i]; len(buses) > 0 && (c.Kind == sheet.Switch || c.Kind == sheet.Momentary) {
			part := perTap(state.PartSwitch, buses, c.Name+" ", func(t *state.Tap) reading { return placeOf(t, c.Number, sh) })
			add(part.part, part.text, part.grade)
		}
	}
	if o := pulseWidths(boards); o != "" {
		add(state.PartOutputs, o, Plain)
	}
	return parts
}

// besideBuses is how capture boards do, and phones that were heard.
func besideBuses(s *state.State, boards []*state.Tap) (parts []statusPart) {
	for _, t := range boards {
		r := conditionOf(t)
		parts = append(parts, statusPart{part: state.PartBoard, text: t.Name + " " + r.text, grade: r.grade})
	}
	for i := range s.Taps {
		if t := &s.Taps[i]; t.Phone != nil && (t.LastNS >= 0 || t.Phone.Heard) {
			r := phoneOf(t)
			parts = append(parts, statusPart{part: state.PartPhone, text: t.Name + " " + r.text, grade: r.grade})
		}
	}
	return parts
}

// phoneOf is how a phone on the model does.
func phoneOf(t *state.Tap) reading {
	p := t.Phone
	switch {
	case p.Asleep:
		return reading{"ASLEEP", Trouble}
	case !p.Heard:
		return reading{"SILENT", Trouble}
	case len(p.Troubles) > 0 && p.Troubles[0] != event.TiltNoGyroscope:
		return reading{p.Troubles[0], Trouble}
	case !p.Laid:
		return reading{text: "laying not shown"}
	case p.Resting:
		return reading{text: "at rest"}
	}
	return reading{text: fmt.Sprintf("tilted %s", event.WholeDegrees(p.OffCdeg))}
}

// recorderWords are what a terminal calls the troubles of a recorder.
var recorderWords = map[state.RecorderTrouble]reading{
	state.TroubleDiskStalled:  {"DISK STALLED", Wrong},
	state.TroubleNotRecording: {"NOT RECORDING", Wrong},
	state.TroubleDisk:         {"DISK TROUBLE", Trouble},
}

// clock is a time in whole seconds: "1:02".
func clock(t unit.Time) string {
	s := unit.FormatClock(t.Truncate(unit.Second))
	return s[:len(s)-len(".000")]
}

// placeOf is the place of a switch by its name, or its width where it is at none.
func placeOf(t *state.Tap, channel int, sh *sheet.Sheet) reading {
	w, ok := widthOf(t, channel)
	if !ok {
		return reading{text: notHeard}
	}
	if place := sh.PlaceName(channel, w); place != "" {
		return reading{text: place}
	}
	return reading{text: fmt.Sprintf("%d µs", micros(w))}
}

// pulseWidths are those of the outputs whose pulses come, "" where none do.
func pulseWidths(boards []*state.Tap) string {
	var parts []string
	for _, t := range boards {
		if t.Board == nil || !t.Up {
			continue
		}
		for _, o := range t.Board.Outputs {
			if o.Pulsing {
				parts = append(parts, fmt.Sprintf("%d: %d", o.Number, micros(o.WidthNS)))
			}
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "outputs " + strings.Join(parts, ", ") + " µs"
}
