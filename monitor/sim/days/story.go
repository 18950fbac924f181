package days

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/unit"
)

// Story is what happens on a day. It follows from a seed, and may be told shorter.
type Story struct {
	Seed    uint64
	Sheet   string        // its text
	Bench   string        // in lines of a script
	Length  int64         // ns
	Every   int           // beats from one checkpoint to the next
	Segment unit.Duration // of the recording
	Slow    int64         // a sync takes this long at most, ns
	Happens []Happening   // in the order of their times
}

// Happening is one thing that happens.
type Happening struct {
	At    int64 // ns since the day began
	What  What
	For   int64  // ns that it lasts
	Count int    // how many, or how much
	Text  string // a step of the hands, the name of a file, the words of a mark, a drill
	Luck  uint64 // for what is drawn when it happens
}

// What happens.
type What string

// What may happen.
const (
	hands What = "hands" // Text is a step of a script, without its time

	// Ends of a life. The next one begins after For.
	stops    What = "stop"
	killed   What = "kill"      // at the Count-th call to the disk from then on
	powerCut What = "power cut" // the same; the disk loses what was not synced

	// The disk.
	full    What = "the disk is full"  // for For; it takes Count bytes of each write
	refuses What = "the disk refuses"  // the next Count calls of the sort Text
	hangs   What = "the disk hangs"    // for For
	rots    What = "the disk rots"     // Count bytes of the file Text are others
	removed What = "a file is deleted" // Text
	swapped What = "a file is swapped" // Text has what another had; for For, 0: for good
	linked  What = "a file is a link"  // Text leads elsewhere; for For
	another What = "another daemon"    // is started on the folder
	clock   What = "the clock is set"  // by For
	still   What = "all stands still"  // for For: the computer does
	unplugs What = "the port vanishes" // for For
	clogs   What = "the port clogs"    // for For; what came is delivered late then
	babbles What = "the port babbles"  // for For, up to Count bytes at a time
	marks   What = "a mark"            // Text, Count times; each waits For at most
	looks   What = "somebody looks"    // at all that is shown; Count times
	drills  What = "a drill"           // Text; given up without a word after Count prompts, 0: never
)

// has reports whether one of these happens.
func (s *Story) has(list ...What) bool {
	return slices.ContainsFunc(s.Happens, func(h Happening) bool { return slices.Contains(list, h.What) })
}

func (h *Happening) String() string {
	s := fmt.Sprintf("%9.3f s  %s", float64(h.At)/1e9, h.What)
	if h.Text != "" {
		s += " " + h.Text
	}
	if h.Count != 0 {
		s += fmt.Sprintf(", %d", h.Count)
	}
	if h.For != 0 {
		s += fmt.Sprintf(", for %v", time.Duration(h.For))
	}
	return s
}

// String tells the story.
func (s *Story) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "day %d: %v, a checkpoint each %d beats, a segment each %v\n", s.Seed, time.Duration(s.Length), s.Every, time.Duration(s.Segment))
	b.WriteString(s.Bench)
	for i := range s.Happens {
		b.WriteString(s.Happens[i].String() + "\n")
	}
	return b.String()
}

// Shortest is the story without what it fails without, as far as so many plays show.
func Shortest(s *Story, plays int, fails func(*Story) bool) *Story {
	short := *s
	for n := max(1, len(short.Happens)/2); n > 0 && plays > 0; {
		dropped := false
		for at := 0; at < len(short.Happens) && plays > 0; plays-- {
			next := short
			next.Happens = slices.Delete(slices.Clone(short.Happens), at, min(at+n, len(short.Happens)))
			if fails(&next) {
				short, dropped = next, true
			} else {
				at += n
			}
		}
		if !dropped || n > 1 {
			n /= 2
		}
	}
	for next := short.cut(); plays > 0 && next.Length >= second && fails(&next); next = short.cut() {
		short = next
		plays--
	}
	return &short
}

// cut is the story without its last quarter; its length is zero where something happens there.
func (s *Story) cut() Story {
	next := *s
	next.Length = s.Length * 3 / 4
	if n := len(s.Happens); n > 0 && s.Happens[n-1].At >= next.Length {
		next.Length = 0
	}
	return next
}
