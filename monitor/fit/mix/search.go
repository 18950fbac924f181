package mix

import (
	"math"
	"slices"

	"benchproof.example/monitor/unit"
)

// search tries delays on some rows of an output. What is the same at each delay is made
// once: which rows count, what stands still in them, and which of them belong together.
type search struct {
	rows  []sample
	t     *table  // of those, at the delay that was tried last
	now   []int   // of each row: the frame that it took then
	place [][]int // of each row: the columns of the channels that moved, 0 for those left out
	tried map[unit.Duration]trial
}

func (l *Log) search(list []sample, cols []int) *search {
	all, in := l.at(list, 0, delaySamples).keep(cols, nil).between()
	all.room = &l.trial
	s := &search{t: all, now: make([]int, len(in)), rows: make([]sample, 0, len(in)), place: make([][]int, 0, len(in)), tried: map[unit.Duration]trial{}}
	column := make([]int, len(l.Channels))
	for i, c := range cols {
		column[c] = 1 + i
	}
	rows := min(delaySamples, len(list))
	var before *track
	var place []int
	for _, i := range in {
		row := list[i*len(list)/rows]
		if row.track != before {
			before, place = row.track, nil
			for _, c := range before.moved {
				place = append(place, column[c])
			}
		}
		s.rows, s.place = append(s.rows, row), append(s.place, place)
	}
	return s
}

// try fits at a delay.
func (s *search) try(delay unit.Duration) trial {
	n, ok := s.tried[delay]
	if !ok {
		s.take(delay)
		s.t.room.clear()
		n = s.t.try()
		s.tried[delay] = n
	}
	return n
}

// take puts into the rows what was on the bus a delay before them.
func (s *search) take(delay unit.Duration) {
	for i := range s.rows {
		sample, place := &s.rows[i], s.place[i]
		now := sample.track.frame(sample.rise-delay, s.now[i])
		s.now[i] = now
		row, moves := s.t.row(i), sample.track.moves[now*len(place):][:len(place)]
		for j, c := range place {
			if c > 0 {
				row[c] = moves[j]
			}
		}
	}
}

// slack is what the rows may be off by at a delay since a movement goes on, squared and
// added up.
func (s *search) slack(delay unit.Duration) (sum float64) {
	for i := range s.rows {
		row := &s.rows[i]
		sum += row.slack(delay, row.track.frame(row.rise-delay, s.now[i]))
	}
	return sum
}

// between are the rows, and their indexes, that a delay is tried on: those that stand at no
// end, where the output may be cut off. That something moves in them does not excuse
// them, as it is what shows. Else rest would count for more, so it may be coarse.
func (t *table) between() (rows *table, in []int) {
	t.join(driftsIn)
	low, high := levels(t.y)
	rows = &table{cols: t.cols, x: t.room.take(len(t.x))[:0], y: t.room.take(len(t.y))[:0], at: make([]unit.Time, 0, len(t.y)), finest: delayFinds}
	in = make([]int, 0, len(t.y))
	from := 0
	for _, end := range t.ends {
		for i := from; i < end; i++ {
			if y := t.y[i]; !low.holds(y) && !high.holds(y) {
				in = append(in, i)
				rows.x = append(rows.x, t.row(i)...)
				rows.y, rows.at = append(rows.y, y), append(rows.at, t.at[i])
			}
		}
		rows.ends, from = append(rows.ends, len(rows.y)), end
	}
	rows.slack = t.room.take(len(in))
	return rows, in
}

// try fits; a wrong pulse counts no more than delayMost.
func (t *table) try() (n trial) {
	use := make([]bool, t.rows())
	for i := range use {
		use[i] = true
	}
	f := t.robust(use, nil, 2, 0)
	if f == nil {
		return trial{off: math.Inf(1)}
	}
	for i := range use {
		r := min(delayMost, math.Abs(f.r[i]-f.u[i]))
		n.off += float64(r * r)
	}
	n.b = slices.Clone(f.b)
	return n
}
