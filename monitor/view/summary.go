package view

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Summary is what was heard in a sitting, in lines, to end it with: what its events add up
// to, and what was counted.
func Summary(now *state.State, seen *record.Overview, sh *sheet.Sheet) []string {
	lines := modeLines(seen.ModesSeen())
	lines = append(lines, signalLines(seen)...)
	lines = append(lines, outputLines(seen, sh)...)
	lines = append(lines, paperLines(seen.Papers)...)
	lines = append(lines, "The link, since the session began:")
	for i := range now.Taps {
		lines = append(lines, tallyLines(&now.Taps[i])...)
	}
	return lines
}

// paperLines are the model's papers.
func paperLines(list []event.Paper) (lines []string) {
	for i, line := range event.PaperLines(list) {
		if i == 0 {
			lines = append(lines, "The model's papers:")
		}
		lines = append(lines, "  "+line)
	}
	return lines
}

func modeLines(list []record.ModeSeen) []string {
	lines := []string{"What the switches asked for:"}
	for _, m := range list {
		how := "the bus asks for "
		if m.Passing {
			how = "on the way, passed through "
		}
		lines = append(lines, fmt.Sprintf("  %s  %-30s %s%s (%s)", m.Tap, m.Positions, how, m.Mode, m.Widths))
	}
	if len(list) == 0 {
		lines = append(lines, "  nothing: no mode was heard that a live transmitter asked for")
	}
	return lines
}

func signalLines(seen *record.Overview) []string {
	lines := []string{"What happened to the signal:"}
	for _, s := range seen.Signals {
		lines = append(lines, "  "+s)
	}
	if seen.MoreSignals > 0 {
		lines = append(lines, fmt.Sprintf("  and %d times more; the timeline has all", seen.MoreSignals))
	}
	if len(seen.Signals) == 0 {
		lines = append(lines, "  no failsafe flag was seen; a receiver that never sets one can lose its signal unseen")
	}
	return lines
}

// tallyLines are what was counted of a tap. Missed on the air, left out by the bus and damaged
// on the wire are three things; each has frames and the runs that they came in.
func tallyLines(t *state.Tap) []string {
	switch {
	case t.LastNS < 0:
		return []string{fmt.Sprintf("  %s  nothing could be read; %d characters came in", t.Name, t.Bytes)}
	case t.Board != nil:
		return []string{fmt.Sprintf("  %s  lines of the capture board: %d, lacking: %d; bytes refused: %d; pulses it could not report: %d; begun anew: %d",
			t.Name, t.Board.Lines, t.Board.LostLines, refusedBytes(t), t.Board.Dropped, t.Board.Restarts)}
	}
	return []string{
		fmt.Sprintf("  %s  frames: %d, %s; flagged as missed in all: %d, as failsafe: %d", t.Name, t.Frames, howOften(t.PeriodNS), t.Missed, t.Failsafe),
		fmt.Sprintf("    of a live link: %d, missed on the air: %d, in %s", t.LinkFrames, t.LinkMissed, runs(t.LinkMissedRuns)),
		fmt.Sprintf("    left out by the bus: %d, in %s", t.GapFrames, runs(t.GapRuns)),
		fmt.Sprintf("    damaged on the wire: %d, bytes refused: %d; damage in %s", t.Damaged, refusedBytes(t), runs(t.DamageRuns)),
	}
}

// howOften says how often frames come.
func howOften(period unit.Duration) string {
	if period == 0 {
		return "how often they come is not known, since they came late or too few"
	}
	return "one every " + unit.FormatDuration(period)
}

func refusedBytes(t *state.Tap) (n int64) {
	for _, r := range t.Refused {
		n += r.Bytes
	}
	return n
}

func runs(n int64) string { return counted(int(n), "run") }
