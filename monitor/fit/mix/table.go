package mix

import "benchproof.example/monitor/unit"

// sample is one pulse of the output, µs.
type sample struct {
	track *track
	rise  unit.Duration // ns from the episode
	at    unit.Time     // ns
	y     float64       // µs
}

// table is what a fit works on: a row for each sample, one column for the part
// that does not move and one for each channel, µs from its neutral.
type table struct {
	cols  int
	x     []float64
	y     []float64
	slack []float64 // what a row may be off by since a movement goes on, squared, µs
	at    []unit.Time
	ends  []int // where the rows of each episode end

	finest float64 // what is left of a row at rest is never taken for less, µs

	room *room // what it is worked out in
}

func (t *table) rows() int { return len(t.y) }

func (t *table) row(i int) []float64 { return t.x[i*t.cols : (i+1)*t.cols] }

// samples are the pulses of an output in the episodes from a date on. They are lent until the
// next call.
func (l *Log) samples(output int, from unit.Time) []sample {
	list := l.list[:0]
	for i := range l.Kept {
		e := &l.Kept[i]
		if e.At < from {
			continue
		}
		var k *track
		for p := 0; p < e.Pulses.count(); p += 3 {
			if e.Pulses.at(p) == int64(output) {
				if k == nil {
					k = l.track(e)
				}
				rise := unit.Duration(e.Pulses.at(p+1)) * unit.Microsecond
				list = append(list, sample{k, rise, e.At.Add(rise), float64(e.Pulses.at(p+2)) / 1000})
			}
		}
	}
	l.list = list
	return list
}

// A receiver holds what it heard last until the next pulse begins; a pulse is
// set up a little before or after that. shaky is the time by which a row may be
// wrong about when its frame was taken, and slackShare is what a movement in that
// time may be off by.
const (
	shaky      = 8 * unit.Millisecond
	slackShare = 0.25
)

// at reports what was on the bus a delay before each sample: the frame that had come
// last. So many samples are taken, evenly.
func (l *Log) at(list []sample, delay unit.Duration, rows int) *table {
	rows = min(rows, len(list))
	t := &table{cols: 1 + len(l.Channels), y: l.room.take(rows), slack: l.room.take(rows), at: make([]unit.Time, rows), finest: finest, room: &l.room}
	t.x = l.room.take(rows * t.cols)
	var before *track
	now := 0
	for i := range rows {
		s := &list[i*len(list)/rows]
		if s.track != before {
			t.ends, before, now = append(t.ends, i), s.track, 0
		}
		now = s.track.frame(s.rise-delay, now)
		row := t.row(i)
		row[0] = 1
		s.track.row(row[1:], now)
		t.y[i], t.slack[i], t.at[i] = s.y, s.slack(delay, now), s.at
	}
	t.ends = append(t.ends[1:], rows)
	return t
}

// slack is what a sample may be off by since a movement goes on, squared, µs, where now is
// the frame that had come last a delay before it.
func (s *sample) slack(delay unit.Duration, now int) (slack float64) {
	k := s.track
	earlier, later := k.frame(s.rise-delay-shaky, now), k.frame(s.rise-delay+shaky, now)
	for j := range k.moved {
		by := slackShare * float64(k.width(later, j)-k.width(earlier, j)) / 1000
		slack += float64(by * by)
	}
	return slack
}

// keep leaves only some columns, and adds one for each dead band.
func (t *table) keep(cols []int, bands []int) *table {
	n := 1 + len(cols) + len(bands)
	s := &table{cols: n, x: t.room.take(n * t.rows())[:0], y: t.y, slack: t.slack, at: t.at, ends: t.ends, finest: t.finest, room: t.room}
	for i := range t.y {
		row := t.row(i)
		s.x = append(s.x, 1)
		for _, c := range cols {
			s.x = append(s.x, row[1+c])
		}
		for _, c := range bands {
			s.x = append(s.x, max(-1, min(1, row[1+c]/bandHalf)))
		}
	}
	return s
}

// bandHalf is how far from neutral a dead band is looked for, µs.
const bandHalf = 15
