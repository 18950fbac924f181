package compare

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/ranksum"
	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/record"
)

// Walk is the later session's range walk beside an earlier one.
type Walk struct {
	Unlike string     `json:"unlike"` // why they can't be compared, a sentence; "" where they can
	Marks  []WalkMark `json:"marks"`  // that both have, in the order of the later
	// Earlier says of marks whether more is missed than in three or more earlier walks, sentences.
	Earlier []string `json:"earlier"`
	Worse   []string `json:"worse"` // marks of which Earlier says that more is missed
	Note    string   `json:"note"`  // what stands beside it wherever it is shown
}

// WalkMark is one mark of both walks.
type WalkMark struct {
	Mark    string `json:"mark"`
	ThenPPM int64  `json:"then_ppm"` // share of missed frames
	NowPPM  int64  `json:"now_ppm"`
	// Thousandths: how likely so much more, or yet more, would be missed now if both were alike
	// (rank test over blocks of two seconds).
	Thousandths int64  `json:"thousandths"`
	Differs     bool   `json:"differs"` // by Holm over the marks: any false one among them is rarer than one in twenty
	Why         string `json:"why"`     // it can't be told, a clause; "" where it can
}

// walkNote stands with every comparison of walks.
const walkNote = drill.NoRangeCheck + " Sessions differ by themselves: one earlier session can't show that this one is worse."

// walks compares the latest range walks of two sessions; nil where one has none.
func walks(then, now []record.Walk) *Walk {
	was, is := latestWalk(then), latestWalk(now)
	if was == nil || is == nil {
		return nil
	}
	w := &Walk{Marks: []WalkMark{}, Earlier: []string{}, Worse: []string{}, Note: walkNote}
	if w.Unlike = unlikeWalks(was.Told, is.Told); w.Unlike != "" {
		return w
	}
	var asked []int64
	var of []int
	for _, m := range marksOf(is) {
		i := slices.IndexFunc(marksOf(was), func(x event.RangeMarkData) bool { return sameMark(x.Mark, m.Mark) })
		if i < 0 {
			continue
		}
		before := marksOf(was)[i]
		c := WalkMark{Mark: m.Mark, ThenPPM: before.MissedPPM(), NowPPM: m.MissedPPM(), Thousandths: 1000, Why: untold(&before, &m)}
		if c.Why == "" {
			c.Thousandths = ranksum.More(m.Blocks, before.Blocks)
			asked, of = append(asked, c.Thousandths), append(of, len(w.Marks))
		}
		w.Marks = append(w.Marks, c)
	}
	for k, differs := range ranksum.Holm(asked) {
		w.Marks[of[k]].Differs = differs
	}
	return w
}

// latestWalk is the last one that has marks.
func latestWalk(list []record.Walk) *record.Walk {
	for i := len(list) - 1; i >= 0; i-- {
		if len(list[i].Marks) > 0 {
			return &list[i]
		}
	}
	return nil
}

// unlikeWalks says which conditions of two walks differ, or were not said in one; "" for none.
func unlikeWalks(then, now map[string]string) string {
	var parts []string
	for _, name := range []string{"power", "heights", "antennas", "who"} {
		was, is := then[name], now[name]
		switch {
		case was == "" || is == "":
			parts = append(parts, name+" was not said")
		case !sameMark(was, is):
			parts = append(parts, fmt.Sprintf("%s was %q, is %q", name, was, is))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "only like with like is compared: " + strings.Join(parts, "; ")
}

// sameMark reports that two texts are the same but for case.
func sameMark(a, b string) bool { return strings.EqualFold(a, b) }

// marksOf are the marks of a walk, each once: one to which somebody came back has the stands
// of both.
func marksOf(w *record.Walk) (list []event.RangeMarkData) {
	for _, m := range w.Marks {
		i := slices.IndexFunc(list, func(x event.RangeMarkData) bool { return sameMark(x.Mark, m.Mark) })
		if i < 0 {
			m.Blocks = slices.Clone(m.Blocks)
			list = append(list, m)
			continue
		}
		x := &list[i]
		x.Frames, x.Missed, x.Runs, x.Longest = x.Frames+m.Frames, x.Missed+m.Missed, x.Runs+m.Runs, max(x.Longest, m.Longest)
		x.ForNS, x.NoneNS, x.Way = x.ForNS+m.ForNS, x.NoneNS+m.NoneNS, x.Way || m.Way
		x.Blocks = append(x.Blocks, m.Blocks...)
	}
	return list
}

// untold says why two marks can't be compared, "" where they can.
func untold(then, now *event.RangeMarkData) string {
	switch {
	case then.Way || now.Way:
		return "nobody said when it was left"
	case then.NoneNS > 0 || now.NoneNS > 0:
		return "no frames came for a part of it"
	case len(then.Blocks) == 0 || len(now.Blocks) == 0:
		return "less than two seconds were heard"
	}
	return ""
}

// Against says of each mark of the later walk whether more is missed than in earlier ones: with
// three or more that are like it a session may be called worse.
func (w *Walk) Against(now *record.Record, earlier []*record.Record) {
	is := latestWalk(now.Walks)
	if is == nil {
		return
	}
	slots, thousandths, of := slotsOf(is, earlier), []int64{}, []event.RangeMarkData{}
	for _, m := range marksOf(is) {
		if m.Way || m.NoneNS > 0 {
			continue
		}
		if p, ok := share.Against(share.Slot{Frames: m.Frames, Missed: m.Missed}, slots[strings.ToLower(m.Mark)]); ok {
			thousandths, of = append(thousandths, p), append(of, m)
		}
	}
	for i, worse := range ranksum.Holm(thousandths) {
		s := fmt.Sprintf("range walk, mark %s: %s missed, no more than in %d earlier walks may have by chance", of[i].Mark,
			event.SharePercent(of[i].MissedPPM()), len(slots[strings.ToLower(of[i].Mark)]))
		if worse {
			w.Worse = append(w.Worse, of[i].Mark)
			s = fmt.Sprintf("range walk, mark %s: %s missed, WORSE than in %d earlier walks", of[i].Mark, event.SharePercent(of[i].MissedPPM()),
				len(slots[strings.ToLower(of[i].Mark)]))
		}
		w.Earlier = append(w.Earlier, s)
	}
}

// slotsOf are what earlier walks that are like one missed, by the name of the mark in small letters.
func slotsOf(is *record.Walk, earlier []*record.Record) map[string][]share.Slot {
	slots := map[string][]share.Slot{}
	for _, r := range earlier {
		was := latestWalk(r.Walks)
		if was == nil || unlikeWalks(was.Told, is.Told) != "" {
			continue
		}
		for _, m := range marksOf(was) {
			if m.Way || m.NoneNS > 0 {
				continue
			}
			key := strings.ToLower(m.Mark)
			slots[key] = append(slots[key], share.Slot{Frames: m.Frames, Missed: m.Missed})
		}
	}
	return slots
}

// Sentences are a comparison of walks for people; none for nil.
func (w *Walk) Sentences() (list []string) {
	if w == nil {
		return nil
	}
	if w.Unlike != "" {
		return []string{"range walk: " + w.Unlike, w.Note}
	}
	for _, m := range w.Marks {
		s := fmt.Sprintf("range walk, mark %s: %s missed, %s then: ", m.Mark, event.SharePercent(m.NowPPM), event.SharePercent(m.ThenPPM))
		switch {
		case m.Why != "":
			s += "not compared, " + m.Why
		case m.Differs:
			s += "DIFFERS from that session, more is missed"
		default:
			s += "no more than chance explains"
		}
		list = append(list, s)
	}
	if len(list) == 0 {
		list = append(list, "range walk: no mark is in both")
	}
	return append(append(list, w.Earlier...), w.Note)
}
