package days

import (
	"fmt"
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
	Correct bool          // the model is as the sheet has it
	Happens []Happening   // in the order of their times
}

// Happening is one thing that happens.
type Happening struct {
	At    int64 // ns since the day began
	What  what
	For   int64  // ns that it lasts
	Count int    // how many, or how much
	Text  string // a step of the hands, the name of a file, the words of a mark
	Luck  uint64 // for what is drawn when it happens
}

// what happens.
type what string

const (
	hands what = "hands" // Text is a step of a script, without its time

	// Ends of a life. The next one begins after For.
	stops    what = "stop"      // it is asked to end
	killed   what = "kill"      // at the Count-th call to the disk from then on
	powerCut what = "power cut" // the same; the disk loses what was not synced
)

// ends reports whether a life ends with it.
func (w what) ends() bool { return w == stops || w == killed || w == powerCut }

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
