package script

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"benchproof.example/monitor/sim/world"
)

// line reads the words of one line. The first mistake stays: after it nothing
// more is read, so that statements need not ask after every word.
type line struct {
	file    string
	number  int
	words   []string
	mistake *Mistake
}

// lineOf cuts a line into words, without its comment.
func lineOf(file string, number int, text string) *line {
	text, _, _ = strings.Cut(text, "#")
	return &line{file: file, number: number, words: strings.Fields(text)}
}

func (l *line) refuse(found, want string) {
	if l.mistake == nil {
		l.mistake = &Mistake{File: l.file, Line: l.number, Found: found, Want: want}
	}
}

func (l *line) more() bool { return l.mistake == nil && len(l.words) > 0 }

// word is the next word, or "" after refusing its absence.
func (l *line) word(want string) string {
	if l.mistake != nil {
		return ""
	}
	if len(l.words) == 0 {
		l.refuse("the end of the line", want)
		return ""
	}
	w := l.words[0]
	l.words = l.words[1:]
	return w
}

// done refuses words that are left over.
func (l *line) done() {
	if l.more() {
		l.refuse(strconv.Quote(l.words[0]), "the end of the line")
	}
}

// oneOf is the index of the next word in a list.
func (l *line) oneOf(list ...string) int {
	want := oneOf(list)
	w := l.word(want)
	i := slices.Index(list, w)
	if i < 0 {
		l.refuse(strconv.Quote(w), want)
		return 0
	}
	return i
}

func oneOf(list []string) string {
	if len(list) == 1 {
		return strconv.Quote(list[0])
	}
	return "one of " + strings.Join(list, ", ")
}

// literal wants just this word.
func (l *line) literal(w string) { l.oneOf(w) }

var nameForm = regexp.MustCompile(`^[a-z][a-z0-9-]*$`)

// name is a new name of something.
func (l *line) name(what string) string {
	want := what + ": lower-case letters, digits and hyphens, a letter first"
	w := l.word(want)
	if !nameForm.MatchString(w) {
		l.refuse(strconv.Quote(w), want)
	}
	return w
}

// whole is a whole number in low..high, without leading zeros.
func (l *line) whole(what string, low, high int64) int64 {
	want := what + ", a whole number from " + strconv.FormatInt(low, 10) + " to " + strconv.FormatInt(high, 10)
	w := l.word(want)
	n, err := strconv.ParseInt(w, 10, 64)
	if err != nil || n < low || n > high || strconv.FormatInt(n, 10) != w {
		l.refuse(strconv.Quote(w), want)
		return low
	}
	return n
}

// span is a time in low..high, ns.
func (l *line) span(what string, low, high time.Duration) int64 {
	want := what + ", a time from " + low.String() + " to " + high.String()
	w := l.word(want)
	d, err := time.ParseDuration(w)
	if err != nil || d < low || d > high {
		l.refuse(strconv.Quote(w), want)
		return int64(low)
	}
	return int64(d)
}

// parted says whether the next word is a range such as 1s..2s, and makes two
// words of it.
func (l *line) parted() bool {
	if !l.more() {
		return false
	}
	low, high, two := strings.Cut(l.words[0], "..")
	if two {
		l.words = append([]string{low, high}, l.words[1:]...)
	}
	return two
}

// ordered wants a range that has something in it.
func (l *line) ordered(s world.Spread) world.Spread {
	if s.High < s.Low {
		l.refuse("a range that falls", "its lesser end first")
	}
	return s
}

// spans is a time in low..high, or a range of such times, ns.
func (l *line) spans(what string, low, high time.Duration) world.Spread {
	two := l.parted()
	s := world.Fixed(l.span(what, low, high))
	if two {
		s.High = l.span(what, low, high)
	}
	return l.ordered(s)
}

// share is a percentage from low to high, as a fraction of 1.
func (l *line) share(what string, low, high float64) float64 {
	want := what + ", a share from " + percent(low) + " to " + percent(high)
	w := l.word(want)
	number, unit := strings.CutSuffix(w, "%")
	x, err := strconv.ParseFloat(number, 64)
	if !unit || err != nil || !(x >= low*100 && x <= high*100) {
		l.refuse(strconv.Quote(w), want)
		return 0
	}
	return x / 100
}

func percent(share float64) string {
	return strconv.FormatFloat(math.Floor(share*100), 'f', -1, 64) + "%"
}
