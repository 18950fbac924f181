package record

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"slices"

	"benchproof.example/monitor/unit"
)

// tracePart is what a trace is drawn from.
type tracePart struct {
	Lines []course // of its channels, in their order
	Whose signals
}

// course is one channel: when its count changed, and to what.
type course struct {
	At    []unit.Time
	Count []uint32
	Shed  bool // there were earlier ones
}

// signals say whose values a tap carried: from when on, and whose.
type signals struct {
	At    []unit.Time
	Whose []string
	Shed  bool // there were earlier ones
}

// shedAtOnce is how many of the oldest points are let go of at once: so each is moved but
// a few times.
const shedAtOnce = 256

// latest is the latest point. There is none before the first frame, which gives one.
func (c *course) latest(at unit.Time, count uint32) uint32 {
	if len(c.At) == 0 {
		c.At, c.Count = append(c.At, at), append(c.Count, count)
	}
	return c.Count[len(c.Count)-1]
}

// take takes a point, unless the one before it is too near, and returns the latest; most is
// how many are remembered at least, 0: all.
func (c *course) take(at unit.Time, count uint32, most int) uint32 {
	n := len(c.At)
	if at.Sub(c.At[n-1]) < pace {
		return c.Count[n-1]
	}
	if most > 0 && n >= most+shedAtOnce {
		c.At, c.Count, c.Shed = slices.Delete(c.At, 0, shedAtOnce), slices.Delete(c.Count, 0, shedAtOnce), true
	}
	c.At, c.Count = append(c.At, at), append(c.Count, count)
	return count
}

func (s *signals) take(at unit.Time, who string, most int) {
	n := len(s.At)
	if n > 0 && s.Whose[n-1] == who {
		return
	}
	if most > 0 && n >= most+shedAtOnce {
		s.At, s.Whose, s.Shed = slices.Delete(s.At, 0, shedAtOnce), slices.Delete(s.Whose, 0, shedAtOnce), true
	}
	s.At, s.Whose = append(s.At, at), append(s.Whose, who)
}

// MarshalJSON packs the points: from each to the next the nanoseconds and the counts, as
// signed varints.
func (c course) MarshalJSON() ([]byte, error) {
	p := packedCourse{Shed: c.Shed}
	at, count := unit.Time(0), uint32(0)
	for i := range c.At {
		p.Points = binary.AppendVarint(p.Points, int64(c.At[i].Sub(at)))
		p.Points = binary.AppendVarint(p.Points, int64(c.Count[i])-int64(count))
		at, count = c.At[i], c.Count[i]
	}
	return json.Marshal(p)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (c *course) UnmarshalJSON(raw []byte) error {
	var p packedCourse
	if err := json.Unmarshal(raw, &p); err != nil {
		return err
	}
	*c = course{Shed: p.Shed}
	at, count := unit.Time(0), int64(0)
	for rest := p.Points; len(rest) > 0; {
		step, n := binary.Varint(rest)
		moved, m := binary.Varint(rest[max(0, n):])
		if n <= 0 || m <= 0 {
			return errors.New("the points of a channel: got half a number")
		}
		rest, at, count = rest[n+m:], at.Add(unit.Duration(step)), count+moved
		c.At, c.Count = append(c.At, at), append(c.Count, uint32(count))
	}
	return nil
}

type packedCourse struct {
	Points []byte
	Shed   bool
}

// reaches reports whether all from a moment on is remembered, and what held then.
func (c *course) reaches(from unit.Time) bool  { return !c.Shed || c.At[0] < from }
func (s *signals) reaches(from unit.Time) bool { return !s.Shed || s.At[0] < from }

// between is a copy of what held and came in a stretch.
func (c *course) between(from, to unit.Time) course {
	i, end := stretch(c.At, from, to)
	return course{At: slices.Clone(c.At[i:end]), Count: slices.Clone(c.Count[i:end])}
}

func (s *signals) between(from, to unit.Time) signals {
	i, end := stretch(s.At, from, to)
	return signals{At: slices.Clone(s.At[i:end]), Whose: slices.Clone(s.Whose[i:end])}
}

// stretch are the indices of what holds at a moment, or the first of all, and behind the
// last that came up to another.
func stretch(at []unit.Time, from, to unit.Time) (begin, end int) {
	begin = beginAt(at, from)
	for end = begin; end < len(at) && at[end] <= to; {
		end++
	}
	return begin, end
}

// beginAt is the index of what holds at a moment: the last at or before it, or the
// first of all.
func beginAt(at []unit.Time, from unit.Time) int {
	i, found := slices.BinarySearch(at, from)
	if !found && i > 0 {
		i--
	}
	return i
}
