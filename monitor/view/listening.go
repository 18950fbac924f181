package view

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What is said where nothing is judged, since the sheet has no channels.
const (
	// ListeningBegins is said at the start.
	ListeningBegins = "no sheet: it listens and records, and NOTHING IS JUDGED. Move one stick, switch or knob at a time: a line says which " +
		"channel moved, and how far"
	// afterListening takes the flags that name the ports, and twice the session's folder. Commands
	// have a line each, to be copied.
	afterListening = `What next: a sheet that says what each channel is. Have it drafted by doing, three minutes of questions:
  benchproof draft %s -o mymodel.yaml
Or of what was heard here, without questions:
  benchproof draft --from %s -o mymodel.yaml
Then watch again with --sheet mymodel.yaml. The recording can be judged by it, too:
  benchproof replay %s --sheet mymodel.yaml`
	// mendFirst is the next step where no bus could be read.
	mendFirst = "What next: nothing could be read, so there are no channels to write down yet. See first what is wrong with the wire, and mend it: " +
		"benchproof explain %s"
	stoodStill   = "  %s  never moved: channels %s"
	moreChannels = "      and %d more: too few rows"
	heardNone    = "  %s  no live frame was heard, so nothing is known of its channels"
)

// listeningParts stand in the status line for what a sheet would have there.
func listeningParts() []statusPart {
	return []statusPart{{part: state.PartListening, text: "NO SHEET, NOTHING IS JUDGED", short: "not judged"}}
}

// cellWidth is how many columns a channel takes among the rows of Listening.
const cellWidth = 38

// cell is one channel in the rows: its number, µs now, range so far, and whether it moves.
const cell = "%4d  %5s  %-13s  %s"

// Listening are the rows of what comes in, for a session under a sheet without channels: of
// each bus a line about itself and one or two columns of channels, of each board its leads.
// Where there are fewer rows than it takes, channels that never moved are left out, and
// counted.
func Listening(s *state.State, columns, rows int, p Paint) (lines []string) {
	for i := range s.Taps {
		t := &s.Taps[i]
		if t.Board != nil {
			lines = append(lines, leadRows(t)...)
		} else {
			lines = append(lines, busRows(t, columns, rows-len(lines), p)...)
		}
	}
	if len(lines) > rows {
		lines = lines[:max(0, rows)]
	}
	for i, line := range lines {
		if visible := utf8.RuneCountInString(line); visible > columns && !strings.Contains(line, end) {
			lines[i] = string([]rune(line)[:columns])
		}
	}
	return lines
}

// busRows are those of one bus.
func busRows(t *state.Tap, columns, rows int, p Paint) []string {
	head := fmt.Sprintf("%s: %s", t.Name, conditionOf(t).text)
	if t.LastNS >= 0 {
		head += fmt.Sprintf(", every %s; frames missed %d, in failsafe %d, damaged %d",
			unit.FormatDuration(t.PeriodNS), t.Missed, t.Failsafe, t.Damaged)
	}
	if len(t.Ranges) == 0 {
		return []string{head}
	}
	const aboveCells = 2
	side := max(1, min(2, columns/cellWidth))
	shown, left := t.Ranges, 0
	if most := side * max(1, rows-aboveCells); len(shown) > most {
		shown, left = moved(shown, side*max(1, rows-aboveCells-1))
	}
	high := (len(shown) + side - 1) / side
	title := fmt.Sprintf("%-*s", cellWidth, "  ch     µs  seen so far")
	lines := []string{head, strings.TrimRight(strings.Repeat(title, min(side, max(1, len(shown)))), " ")}
	for row := range high {
		var line strings.Builder
		for at := row; at < len(shown); at += high {
			one, grade := cellOf(t, &shown[at])
			if at+high < len(shown) {
				one = fmt.Sprintf("%-*s", cellWidth, one)
			}
			line.WriteString(p.In(grade, one))
		}
		lines = append(lines, line.String())
	}
	if left > 0 {
		lines = append(lines, fmt.Sprintf(moreChannels, left))
	}
	return lines
}

// moved are so many channels, those that moved before those that did not, by number; left is how
// many there are beside them.
func moved(all []state.ChannelRange, most int) (list []state.ChannelRange, left int) {
	still := most
	for i := range all {
		if all[i].Moves > 0 {
			still--
		}
	}
	for i := range all {
		if all[i].Moves == 0 {
			if still--; still < 0 {
				continue
			}
		}
		if len(list) < most {
			list = append(list, all[i])
		}
	}
	return list, len(all) - len(list)
}

// cellOf is one channel. What is not heard now is "--".
func cellOf(t *state.Tap, r *state.ChannelRange) (string, Grade) {
	now, seen, mark, grade := notHeard, "", "", Plain
	if w, ok := widthOf(t, r.Channel); ok {
		now = fmt.Sprint(micros(w))
		if r.Digital {
			now = digitalOf(t, r.Channel)
		}
	}
	switch {
	case r.Digital && r.Moves > 0:
		seen = "off and on"
	case r.Digital:
		seen = "digital"
	default:
		seen = event.WidthRange(r.LeastNS, r.MostNS)
	}
	if r.Moving && now != notHeard {
		mark, grade = "MOVES", Right
	}
	return strings.TrimRight(fmt.Sprintf(cell, r.Channel, now, seen, mark), " "), grade
}

func digitalOf(t *state.Tap, channel int) string {
	for _, c := range t.Channels {
		if c.Number == channel {
			return event.OnOff(c.Count != 0)
		}
	}
	return notHeard
}

// leadRows are those of a capture board.
func leadRows(t *state.Tap) []string {
	lines := []string{fmt.Sprintf("%s: %s", t.Name, conditionOf(t).text)}
	for _, o := range t.Board.Outputs {
		line := fmt.Sprintf("lead %2d  %s", o.Number, notHeard)
		if o.Pulsing {
			line = fmt.Sprintf("lead %2d  %5d µs", o.Number, micros(o.WidthNS))
			if o.PeriodNS > 0 {
				line += ", every " + unit.FormatDuration(o.PeriodNS)
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// ListeningEnds is the end of a session under a sheet without channels: what was heard, that
// nothing was judged, and the next step. folder is the session's.
func ListeningEnds(s *state.State, folder string) []string {
	lines := []string{"What was heard, since the session began:"}
	for i := range s.Taps {
		lines = append(lines, tallyLines(&s.Taps[i])...)
	}
	if !anyChannel(s) {
		return append(lines, record.NothingJudged, fmt.Sprintf(mendFirst, folder))
	}
	for i := range s.Taps {
		if t := &s.Taps[i]; t.Board == nil {
			lines = append(lines, rangeLines(t)...)
		} else {
			for _, row := range leadRows(t)[1:] {
				lines = append(lines, "  "+t.Name+"  "+row)
			}
		}
	}
	next := fmt.Sprintf(afterListening, portFlags(s), folder, folder)
	return append(append(lines, record.NothingJudged), strings.Split(next, "\n")...)
}

// portFlags name the ports for a draft, which hears one bus.
func portFlags(s *state.State) string {
	bus, leads := "--bus PORT", ""
	named := false
	for i := range s.Taps {
		switch t := &s.Taps[i]; {
		case t.Port.Port == "":
		case t.Board != nil:
			leads = " --leads " + t.Port.Port
		case !named:
			bus, named = "--bus "+t.Port.Port, true
		}
	}
	return bus + leads
}

// anyChannel reports that the channels of a bus were read, or leads of a board.
func anyChannel(s *state.State) bool {
	return slices.ContainsFunc(s.Taps, func(t state.Tap) bool { return len(t.Ranges) > 0 || t.Board != nil && t.LastNS >= 0 })
}

// rangeLines are what the channels of a bus did.
func rangeLines(t *state.Tap) (lines []string) {
	if len(t.Ranges) == 0 {
		return []string{fmt.Sprintf(heardNone, t.Name)}
	}
	var still []int
	for i := range t.Ranges {
		r := &t.Ranges[i]
		switch {
		case r.Moves == 0:
			still = append(still, r.Channel)
		case r.Digital:
			lines = append(lines, fmt.Sprintf("  %s  channel %d (digital): off and on, moved %s", t.Name, r.Channel, text.Times(r.Moves)))
		default:
			lines = append(lines, fmt.Sprintf("  %s  channel %d: %s µs, moved %s", t.Name, r.Channel, event.WidthRange(r.LeastNS, r.MostNS), text.Times(r.Moves)))
		}
	}
	if len(still) > 0 {
		lines = append(lines, fmt.Sprintf(stoodStill, t.Name, text.Numbers(still)))
	}
	return lines
}
