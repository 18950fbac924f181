package runner

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/ranksum"
	"benchproof.example/monitor/unit"
)

// Limits of a range walk.
const (
	mostMarks    = 40                // of one walk
	mostBlocks   = 300               // of one mark: ten minutes
	eachTold     = 10 * unit.Second  // how often the one who stands hears how it is
	walkPatience = 600 * unit.Second // between two marks; a prompt's own patience comes on top
	linkFrames   = 4                 // plain ones in a row: flags before mean nothing
)

// Walk is a range walk: what is missed at the mark at which somebody stands. Frames count
// once four plain ones in a row showed that there is a link; from then on, until the bus falls
// silent, each flagged one is missed, in a failsafe too.
//
//	frames   . . . . . L . . L L L .         . . . .
//	         link|     run   run    | silent |
//	blocks   |<----- 2 s ----->|<- dropped ->|<-----
type Walk struct {
	Linked bool      `json:"linked"`
	Plain  int       `json:"plain"` // in a row
	Wire   unit.Time `json:"wire"`  // of the latest frame, 0: none came
	Now    unit.Time `json:"now"`   // date of what was seen last
	Marks  int       `json:"marks"` // that were come to

	Stands bool                `json:"stands"` // somebody stands at a mark:
	From   unit.Time           `json:"from"`   // since then
	Told   unit.Time           `json:"told"`   // date when its figures were last said
	Here   event.RangeMarkData `json:"here"`   // the figures
	Run    int64               `json:"run"`    // frames missed in a row by now
	Block  unit.Time           `json:"block"`  // wire time at which the block under way began, 0: at the next frame
	Lacks  int64               `json:"lacks"`  // frames missed in it
	Hole   walkHole            `json:"hole"`   // the latest time without frames, while they may turn out to have been read late
}

// frame takes an undamaged frame that was read in time.
func (w *Walk) frame(o *event.Observation) {
	passed := o.Wire.Sub(w.Wire)
	switch {
	case w.Wire == 0 || passed > hole:
		w.none(o.Wire)
		w.Linked, w.Plain, w.Run, w.Block, passed = false, 0, 0, 0, 0
	case !o.Pace.Unsure:
		w.Hole = walkHole{}
	}
	w.Wire = o.Wire
	flagged := o.Frame.Failsafe() || o.Frame.Lost()
	if w.Plain++; flagged {
		w.Plain = 0
	}
	if w.Linked = w.Linked || w.Plain >= linkFrames; w.Linked && w.Stands {
		w.count(o.Wire, passed, flagged)
	}
}

// count takes a frame of a link at a mark.
func (w *Walk) count(wire unit.Time, passed unit.Duration, flagged bool) {
	h := &w.Here
	if w.Block != 0 && wire.Sub(w.Block) >= ranksum.Block {
		h.Blocks = append(h.Blocks, w.Lacks)
		w.Block, w.Lacks = w.Block.Add(ranksum.Block), 0
	}
	if h.Full = len(h.Blocks) >= mostBlocks; h.Full {
		return
	}
	if w.Block == 0 {
		w.Block, w.Lacks = wire, 0
	}
	h.Frames++
	h.ForNS += passed
	if !flagged {
		w.Run = 0
		return
	}
	if w.Run++; w.Run == 1 {
		h.Runs++
	}
	h.Missed++
	w.Lacks++
	h.Longest = max(h.Longest, w.Run)
}

// come begins a mark.
func (w *Walk) come(mark, by, tap string, at unit.Time) {
	w.Marks++
	w.Stands, w.From, w.Told, w.Run, w.Block, w.Lacks, w.Hole = true, at, at, 0, 0, 0, walkHole{}
	w.Here = event.RangeMarkData{Tap: tap, Mark: mark, By: by, Blocks: []int64{}}
}

// figures are those of the mark by now. Frames that don't come any more are missing up to now.
func (w *Walk) figures(left bool) event.RangeMarkData {
	d := w.Here
	if silent := w.Now.Sub(max(w.Wire, w.From)); silent > hole {
		d.NoneNS += silent
	}
	d.Left, d.NeedNS = left, need(&d)
	d.Blocks = []int64{}
	if left {
		d.Blocks = append(d.Blocks, w.Here.Blocks...)
	}
	return d
}

// need is how long it takes at the mark until a doubling shows.
func need(d *event.RangeMarkData) unit.Duration {
	if d.Missed == 0 {
		return 0
	}
	period := d.ForNS / unit.Duration(d.Frames)
	seconds, ok := ranksum.SecondsNeeded(d.MissedPPM(), period, (d.Missed+d.Runs-1)/d.Runs)
	if !ok {
		return 0
	}
	return unit.Duration(seconds) * unit.Second
}

// walking reports that the prompt that stands is the walk.
func (r *Runner) walking() bool { return r.Confirmed && r.plan().Prompts[r.At].Until.Marks }

// walks takes what is seen during a walk.
func (r *Runner) walks(o *event.Observation, h *BusState, emit event.Emit) {
	r.Walk.Now = o.At
	switch {
	case o.Kind == event.FrameSeen && o.Tap == r.bus.Number:
		switch {
		case o.Pace.Late:
			r.Walk.readLate(o)
		case !o.Frame.Bad:
			r.Walk.frame(o)
		}
		if h.Pressed {
			r.pressed(o.At, emit)
		}
	case o.Kind == event.InputBeat && r.Walk.Stands && o.At.Sub(r.Walk.Told) >= eachTold:
		r.Walk.Told = o.At
		emit(event.RangeMark, r.Walk.From, r.about(), r.Walk.figures(false))
	case o.Kind == event.InputMark:
		r.marked(string(o.Data), o.At, emit)
	}
}

// pressed takes the mark button of the sheet, which sets a mark and leaves it.
func (r *Runner) pressed(at unit.Time, emit event.Emit) {
	if r.Walk.Stands {
		r.leave(at, false, emit)
		return
	}
	r.come(fmt.Sprintf("button %d", r.Walk.Marks+1), "button", at, emit)
}

// marked takes a mark from another terminal: one that begins with a figure is a distance.
func (r *Runner) marked(words string, at unit.Time, emit event.Emit) {
	switch {
	case words == event.WalkingMark:
		r.leave(at, false, emit)
	case words != "" && words[0] >= '0' && words[0] <= '9':
		r.come(words, "mark", at, emit)
	}
}

// says takes what was typed where a prompt is answered in words, and reports that the prompt
// stands on: what was typed set a mark or left one.
func (r *Runner) says(words string, at unit.Time, h *BusState, emit event.Emit) bool {
	until, words := &r.plan().Prompts[r.At].Until, plainWords(words)
	switch {
	case r.plan().Prompts[r.At].Asks.Act == drill.ActStep:
		return r.saysStep(words, at, h, emit)
	case until.Angle && words != "":
		if _, _, err := drill.Angle(words); err != nil {
			r.hint(err.Error(), at, emit)
			return true
		}
		r.Words = words
	case until.Told:
		r.Words = words
	case until.Marks && words != "":
		r.come(words, "typed", at, emit)
		return true
	case until.Marks && r.Walk.Stands:
		r.leave(at, false, emit)
		return true
	}
	return false
}

// plainWords are words with one space between two, as long as counts.
func plainWords(words string) string {
	words = strings.Join(strings.Fields(words), " ")
	if cut := []rune(words); len(cut) > event.MostWords {
		return string(cut[:event.MostWords])
	}
	return words
}

// doubtWords is about an Enter alone where words were wanted.
func (r *Runner) doubtWords(await *drill.Condition) doubt {
	switch {
	case await.Marks:
		return doubt{ask: "press Enter again to end the walk here, or type the distance of the next mark"}
	case r.Words == "":
		return doubt{"nobody said it", "press Enter again if it is not to be said, and this walk can't be compared; or type it now"}
	}
	return doubt{}
}

// come begins a mark, and ends the one before that nobody left.
func (r *Runner) come(mark, by string, at unit.Time, emit event.Emit) {
	if r.Walk.Marks >= mostMarks {
		r.hint(fmt.Sprintf("a walk has %d marks at most: end it, and begin another", mostMarks), at, emit)
		return
	}
	r.leave(at, true, emit)
	r.Since, r.Doubted = at, nil
	r.Walk.come(plainWords(mark), by, r.bus.Name, at)
	r.hint("mark "+r.Walk.Here.Mark+": stand still; Enter alone before you walk on", at, emit)
}

// leave ends the mark at which somebody stands. way: nobody said so, and the way to the
// next is in it.
func (r *Runner) leave(at unit.Time, way bool, emit event.Emit) {
	if !r.Walk.Stands {
		return
	}
	r.Since, r.Doubted = at, nil
	d := r.Walk.figures(true)
	d.Way = way
	r.Walk.Stands = false
	emit(event.RangeMark, r.Walk.From, r.about(), d)
}
