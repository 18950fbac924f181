package view

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// notHeard stands for what is not heard now.
const notHeard = "--"

// statusParts are all parts of the status line, in their order, printable.
func statusParts(s *state.State, sh *sheet.Sheet) []statusPart {
	parts := allParts(s, sh)
	for i := range parts {
		parts[i].text, parts[i].short = text.Printable(parts[i].text), text.Printable(parts[i].short)
	}
	return parts
}

func allParts(s *state.State, sh *sheet.Sheet) []statusPart {
	var buses, boards []*state.Tap
	for i := range s.Taps {
		switch t := &s.Taps[i]; {
		case t.Board != nil:
			boards = append(boards, t)
		case t.Phone == nil:
			buses = append(buses, t)
		}
	}
	var parts []statusPart
	if len(buses) > 0 {
		parts = append(parts, linkPart(buses))
		if sh.Listens {
			parts = append(parts, listeningParts()...)
		}
		if sh.Stabiliser != nil {
			parts = append(parts, perTap(state.PartMode, buses, "", modeOf))
		}
		if c := throttleOf(sh); c != nil {
			parts = append(parts, widthPart(state.PartThrottle, buses, "throttle", "thr", c.Number))
		}
		if long := len(soakParts(s, sh)) > 0; !long {
			parts = append(parts, gainParts(sh, buses)...)
		}
	}
	return append(parts, restParts(s, sh, buses, boards)...)
}

// gainParts is the gain, where the sheet has it on a channel.
func gainParts(sh *sheet.Sheet, buses []*state.Tap) []statusPart {
	if sh.Gain == nil || sh.Gain.Channel == 0 || len(buses) == 0 {
		return nil
	}
	return []statusPart{widthPart(state.PartGain, buses, "gain", "gain", sh.Gain.Channel)}
}

// reading is what one tap says for a part of the status line.
type reading struct {
	text  string
	grade Grade
}

// perTap joins what each tap says: the name before each, unless there is one tap only
// or all say the same. In short there are no names.
func perTap(part state.PartName, taps []*state.Tap, label string, read func(*state.Tap) reading) statusPart {
	var named, bare []string
	grade := Plain
	for _, t := range taps {
		r := read(t)
		grade = max(grade, r.grade)
		named = append(named, t.Name+" "+r.text)
		bare = append(bare, r.text)
	}
	same := len(slices.Compact(slices.Clone(bare))) == 1
	full := strings.Join(named, ", ")
	if same {
		full, bare = bare[0], bare[:1]
	}
	return statusPart{part: part, text: label + full, short: label + strings.Join(bare, "/"), grade: grade}
}

func widthPart(part state.PartName, taps []*state.Tap, label, short string, channel int) statusPart {
	p := perTap(part, taps, label+" ", func(t *state.Tap) reading {
		if w, ok := widthOf(t, channel); ok {
			return reading{text: fmt.Sprintf("%d µs", micros(w))}
		}
		return reading{text: notHeard}
	})
	p.short = strings.ReplaceAll(strings.Replace(p.short, label, short, 1), " µs", "")
	return p
}

// linkPart names each tap, so that it is known what is live.
func linkPart(taps []*state.Tap) statusPart {
	p := perTap(state.PartLink, taps, "", conditionOf)
	names := make([]string, 0, len(taps))
	for _, t := range taps {
		names = append(names, t.Name+" "+conditionOf(t).text)
	}
	p.text = strings.Join(names, ", ")
	return p
}

// conditionWords are what a terminal calls the conditions of a tap.
var conditionWords = map[state.Condition]reading{
	state.ConditionNotYetOpen:  {"not open yet", Plain},
	state.ConditionNotOpen:     {"GONE", Trouble},
	state.ConditionNothingIn:   {"nothing heard yet", Plain},
	state.ConditionUnreadable:  {"UNREADABLE", Trouble},
	state.ConditionNoPulse:     {"NO PULSE", Trouble},
	state.ConditionSilent:      {"SILENT", Trouble},
	state.ConditionNoLiveFrame: {"NO LIVE FRAME", Trouble},
	state.ConditionFailsafe:    {"FAILSAFE", Trouble},
	state.ConditionLive:        {"live", Plain},
}

// conditionOf is how a tap does.
func conditionOf(t *state.Tap) reading {
	r := conditionWords[t.Condition()]
	if t.Condition() == state.ConditionUnreadable && t.LineFault != nil {
		r.text += " (" + t.LineFault.Cause + "?)"
	}
	return r
}

func modeOf(t *state.Tap) reading {
	switch {
	case !t.ModeKnown:
		return reading{text: notHeard}
	case t.Mode == "":
		return reading{strings.ToUpper(text.NoMode), Trouble}
	}
	return reading{text: text.ModeName(t.Mode)}
}

func widthOf(t *state.Tap, channel int) (unit.Width, bool) {
	if !t.Condition().HasValues() {
		return 0, false
	}
	for _, c := range t.Channels {
		if c.Number == channel {
			return c.WidthNS, true
		}
	}
	return 0, false
}

// micros rounds a width to whole microseconds.
func micros(w unit.Width) int64 { return (int64(w) + 500) / 1000 }

// throttleOf is the sheet's first throttle, nil for a glider.
func throttleOf(sh *sheet.Sheet) *sheet.Channel {
	i := slices.IndexFunc(sh.Channels, func(c sheet.Channel) bool { return c.Kind == sheet.Throttle })
	if i < 0 {
		return nil
	}
	return &sh.Channels[i]
}
