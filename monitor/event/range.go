package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// WalkingMark is the mark by which somebody who walks leaves a mark of the range, from another
// terminal.
const WalkingMark = "walking on"

// oftenMissed is a share of missed frames, parts per million, from which on it is known how long to stay at a
// mark, unless runs are long: one in a hundred.
const oftenMissed = 10_000

// RangeMarkData belongs to range.mark: what was missed at one mark of a range walk, while
// somebody stood there.
type RangeMarkData struct {
	Tap     string        `json:"tap"`
	Mark    string        `json:"mark"`          // its distance, as it was typed
	By      string        `json:"by"`            // "typed", "mark" (from another terminal) or "button" (of the sheet; numbered as they came)
	Left    bool          `json:"left"`          // it was left: the figures are whole
	Way     bool          `json:"way,omitempty"` // nobody said when it was left: the way to the next is in it
	Full    bool          `json:"full,omitempty"`
	Frames  int64         `json:"frames"` // undamaged, live or flagged, since there was a link
	Missed  int64         `json:"missed"` // of these, flagged: missed on the air, or the receiver in failsafe
	Runs    int64         `json:"runs"`   // of missed frames
	Longest int64         `json:"longest"`
	ForNS   unit.Duration `json:"for_ns"`    // in which these frames came
	NoneNS  unit.Duration `json:"none_ns"`   // no frame came
	NeedNS  unit.Duration `json:"need_ns"`   // so long at a mark, in both walks, a doubling is seen in four of five cases; 0: not known
	Blocks  []int64       `json:"missed_2s"` // once it was left: the frames missed in each two seconds, those without a frame left out
}

// MissedPPM is the share of missed frames, parts per million.
func (d *RangeMarkData) MissedPPM() int64 {
	if d.Frames == 0 {
		return 0
	}
	return d.Missed * 1_000_000 / d.Frames
}

func rangeSentence(_ *Event, _ string, d *RangeMarkData) string {
	if d.Frames == 0 {
		return fmt.Sprintf("mark %s: no frame of a link was heard%s", d.Mark, silentFor(d.NoneNS))
	}
	s := fmt.Sprintf("mark %s: %s missed, %d of %d frames in %s", d.Mark, SharePercent(d.MissedPPM()), d.Missed, d.Frames, unit.FormatDuration(d.ForNS))
	if d.Missed > 0 {
		s += fmt.Sprintf(", at most %d in a row", d.Longest)
	}
	s += silentFor(d.NoneNS)
	switch stay := d.NeedNS - d.ForNS; {
	case d.Way:
		s += "; the way to the next mark is in it"
	case d.Full:
		s += "; nothing more counts here: walk on"
	case d.NeedNS == 0 && d.MissedPPM() >= oftenMissed:
		s += "; it is missed in runs too long to say how long to stay"
	case d.NeedNS == 0:
		s += "; too little is missed for a doubling to show"
	case stay > 0 && d.Left:
		s += fmt.Sprintf("; %d s too short for a doubling to show in four of five cases", seconds(stay))
	case stay > 0:
		s += fmt.Sprintf("; stay %d s more, for a doubling to show in four of five cases", seconds(stay))
	case !d.Left:
		s += "; long enough: walk on"
	}
	return s
}

func seconds(d unit.Duration) int64 { return int64((d + unit.Second - 1) / unit.Second) }

func silentFor(d unit.Duration) string {
	if d == 0 {
		return ""
	}
	return "; NO FRAMES for " + unit.FormatDuration(d)
}

// SharePercent is a share in parts per million, in per cent: "0.35 %".
func SharePercent(ppm int64) string {
	text := fmt.Sprintf("%d.%04d", ppm/10_000, ppm%10_000)
	return strings.TrimSuffix(strings.TrimRight(text[:len(text)-2], "0"), ".") + " %"
}
