package trace

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"

	"benchproof.example/monitor/event"
)

// Answer is the columns of a stretch, as clients get them: a Sink of columns of Step that makes
// longer ones of them, whole ones only.
//
//	{"step_ns":100000000,"taps":[{"tap":"main","kind":"bus","first":40,"until":70,
//	 "columns":[[40,1500,1500,1500,1730],[41,1500,1500,1730,1730]]}]}
type Answer struct {
	parts int64 // columns of Step in one of the answer
	from  int64 // of Step
	to    int64 // of Step; 0: no bound
	taps  []answered
	now   []int // of the taps that are given: index in taps
}

// answered is a tap.
type answered struct {
	event.TapName
	first, until int64 // columns of Step between which all is known
	columns      []Column
}

func newAnswer(parts int64) *Answer { return &Answer{parts: parts} }

// Begin implements Sink.
func (a *Answer) Begin(taps []event.TapName, _ int64) {
	a.now = a.now[:0]
	for _, t := range taps {
		i := slices.IndexFunc(a.taps, func(have answered) bool { return have.Name == t.Name })
		if i < 0 {
			i = len(a.taps)
			a.taps = append(a.taps, answered{TapName: t, first: a.from, until: a.from})
		}
		a.now = append(a.now, i)
	}
}

// Take implements Sink.
func (a *Answer) Take(tap int, c *Column, passed int64) {
	t := &a.taps[a.now[tap]]
	t.until = max(t.until, a.within(passed))
	if c == nil || c.Number < a.from || a.to > 0 && c.Number >= a.to {
		return
	}
	number := c.Number / a.parts
	if n := len(t.columns); n == 0 || t.columns[n-1].Number != number {
		t.columns = append(t.columns, Column{Number: number})
	}
	t.columns[len(t.columns)-1].add(c.Ends)
}

// within is a number, or the greatest where it is beyond the end.
func (a *Answer) within(number int64) int64 {
	if a.to > 0 {
		return min(number, a.to)
	}
	return number
}

// MarshalJSON implements json.Marshaler. A tap of which nothing is known in the stretch is left out.
func (a *Answer) MarshalJSON() ([]byte, error) {
	b := append([]byte(`{"step_ns":`), strconv.FormatInt(a.parts*int64(Step), 10)...)
	b = append(b, `,"taps":[`...)
	for i := range a.taps {
		if t := &a.taps[i]; t.until > t.first {
			b = append(t.append(b, a.parts), ',')
		}
	}
	return append(bytes.TrimSuffix(b, []byte(",")), "]}"...), nil
}

func (t *answered) append(b []byte, parts int64) []byte {
	until := t.until / parts
	name, _ := json.Marshal(t.Name) // of a string: it can't fail
	kind, _ := json.Marshal(t.Kind)
	b = append(append(b, `{"tap":`...), name...)
	b = append(append(b, `,"kind":`...), kind...)
	b = strconv.AppendInt(append(b, `,"first":`...), (t.first+parts-1)/parts, 10)
	b = strconv.AppendInt(append(b, `,"until":`...), until, 10)
	b = append(b, `,"columns":[`...)
	for i := range t.columns {
		c := &t.columns[i]
		if c.Number >= until {
			break // it is not complete
		}
		if i > 0 {
			b = append(b, ',')
		}
		b = c.append(b)
	}
	return append(b, "]}"...)
}

// append renders a column: its number and its ends, without those of the last channels of which
// nothing was heard.
func (c *Column) append(b []byte) []byte {
	n := len(c.Ends)
	for n > 0 && c.Ends[n-1] == NotHeard {
		n--
	}
	b = strconv.AppendInt(append(b, '['), c.Number, 10)
	for _, end := range c.Ends[:n] {
		b = strconv.AppendInt(append(b, ','), int64(end), 10)
	}
	return append(b, ']')
}
