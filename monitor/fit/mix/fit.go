package mix

import (
	"math"
	"slices"

	"benchproof.example/monitor/unit"
)

const (
	leastSamples = 24
	restNoise    = 5.0   // µs: a channel that moved less takes no part in a fit
	movedFar     = 100.0 // µs that a channel must move, also apart from the others, to be reported
	sureEnough   = 0.05  // half of the interval of a slope that is reported
	bandLeast    = 1.5   // µs of output that a dead band must take away to be seen
	pushes       = 10.0  // µs of output by which a channel must move to be one of those that went on
	nearNeutral  = 60.0  // µs: an output of sticks that stands so near is in a dead band, not at a limit
)

// mix is a fit of some channels, and of dead bands about some of them.
type mix struct {
	*fitted
	t         *table
	cols      []int // indexes of the channels; columns from 1
	bands     []int // columns after those
	use       []bool
	low, high level
	half      []float64 // of the intervals at this delay, by column
	doubt     []float64 // what other delays that do about as well add to those
}

// unsure is half of the interval of a column's coefficient, whatever the delay is.
func (m *mix) unsure(c int) float64 { return m.half[c] + m.doubt[c] }

// Fit finds what an output does, from the episodes from a date on. Hint is the delay
// that an earlier fit found, -1 for none. False: too little was seen to say anything.
func (l *Log) Fit(output int, from unit.Time, hint unit.Duration) (Fit, bool) {
	l.room.clear()
	list := l.samples(output, from)
	if len(list) < leastSamples {
		return Fit{}, false
	}
	cols := l.moving(list)
	if len(cols) == 0 {
		return Fit{}, false
	}
	d, doubt := l.delay(list, cols, hint)
	all := l.at(list, d, len(list))
	m := all.mix(cols)
	if m == nil {
		return Fit{}, false
	}
	if bands := l.centred(m); len(bands) > 0 {
		m = m.bandsOf(all, bands)
	}
	m.doubt = doubt
	f := l.rounded(m)
	if f.moves() {
		f.Delay = d
	}
	return f, true
}

// moves reports whether a channel surely moves the output.
func (f *Fit) moves() bool {
	return slices.ContainsFunc(f.Terms, func(t Term) bool { return max(t.PPM, -t.PPM) > 3*t.HalfInterval })
}

// moving are the channels that moved at all.
func (l *Log) moving(list []sample) (cols []int) {
	ends, row := make([]outermost, len(l.Channels)), l.room.take(len(l.Channels))
	now := 0
	for i := range list {
		s := &list[i]
		if i == 0 || s.track != list[i-1].track {
			now = 0
		}
		now = s.track.frame(s.rise, now)
		s.track.row(row, now)
		for c, x := range row {
			ends[c].add(x)
		}
	}
	for c := range ends {
		if ends[c].width() >= restNoise {
			cols = append(cols, c)
		}
	}
	return cols
}

func (t *table) mix(cols []int) *mix {
	m := &mix{t: t.keep(cols, nil), cols: cols}
	if m.fitted, m.use, m.low, m.high = m.t.unlimited(); m.fitted == nil {
		return nil
	}
	if m.half = m.t.sure(m.fitted); m.half == nil {
		return nil
	}
	return m
}

// bandsOf tries dead bands, and leaves in those that are plain to see.
func (m *mix) bandsOf(all *table, bands []int) *mix {
	with := m.banded(all, bands)
	if with == nil {
		return m
	}
	switch seen := with.dead(); len(seen) {
	case 0:
		return m
	case len(bands):
		return with
	default:
		if with = m.banded(all, seen); with == nil {
			return m
		}
		return with
	}
}

// banded is a mix with dead bands, from where the one without has come to.
func (m *mix) banded(all *table, bands []int) *mix {
	n := *m
	n.bands, n.t = bands, all.keep(m.cols, bands)
	begin := *m.fitted
	begin.b = append(slices.Clone(m.b), make([]float64, len(bands))...)
	if n.fitted = n.t.robust(m.use, &begin, 0, biweightRounds); n.fitted == nil {
		return nil
	}
	if n.half = n.t.sure(n.fitted); n.half == nil {
		return nil
	}
	return &n
}

// centred are the channels about whose neutral a dead band can be looked for: they
// move the output, and were on both sides.
func (l *Log) centred(m *mix) (bands []int) {
	for i, c := range m.cols {
		low, high := 0, 0
		for r := range m.t.rows() {
			switch x := m.t.row(r)[1+i]; {
			case m.w[r] == 0:
			case x < -bandHalf:
				low++
			case x > bandHalf:
				high++
			}
		}
		if l.Channels[c].Centred && math.Abs(m.b[1+i]) > 2*m.half[1+i] && min(low, high) >= flatLeast {
			bands = append(bands, c)
		}
	}
	return bands
}

// dead are the channels of a fit whose dead band is plain to see.
func (m *mix) dead() (bands []int) {
	for i, c := range m.bands {
		k := 1 + len(m.cols) + i
		takes := float64(-m.b[k] * sign(m.b[1+slices.Index(m.cols, c)]))
		if takes >= bandLeast && takes > 1.5*m.half[k] {
			bands = append(bands, c)
		}
	}
	return bands
}

func sign(v float64) float64 { return math.Copysign(1, v) }

// rounded rounds a fit and leaves out of it what is not sure.
func (l *Log) rounded(m *mix) Fit {
	f := Fit{From: m.t.at[0], Delay: -1, Samples: int64(m.t.rows()), Low: l.limit(m, &m.low, -1), High: l.limit(m, &m.high, 1)}
	f.Sum = nanos(m.b[0])
	f.Neutral = f.Sum
	if f.High.Width != 0 {
		f.Neutral = min(f.Neutral, f.High.Width)
	}
	f.Neutral = max(f.Neutral, f.Low.Width)
	apart, torn := m.apart(), m.torn(m.use)
	for c, ch := range l.Channels {
		i := 1 + slices.Index(m.cols, c)
		if i == 0 {
			f.Unmoved = append(f.Unmoved, ch.Number)
			continue
		}
		term := Term{ch.Number, ppm(m.b[i]), max(1, ppm(m.unsure(i)))}
		if torn || m.t.width(i) < movedFar || apart[i] < movedFar || m.unsure(i) > sureEnough {
			f.Unmoved, f.Open = append(f.Unmoved, ch.Number), append(f.Open, term)
			continue
		}
		f.Terms = append(f.Terms, term)
	}
	f.Low.forget(f.Open)
	f.High.forget(f.Open)
	f.Dead = nanos(m.band())
	f.Off, f.Least, f.Most = m.seen()
	return f
}

func nanos(us float64) unit.Width { return unit.Width(math.Round(us * 1000)) }

func ppm(v float64) int64 { return int64(math.Round(v * 1e6)) }

// band is the widest dead band, in µs of its channel.
func (m *mix) band() (widest float64) {
	for i, c := range m.bands {
		slope := m.b[1+slices.Index(m.cols, c)]
		widest = max(widest, 2*math.Abs(m.b[1+len(m.cols)+i]/slope))
	}
	return widest
}

// seen is how far rows typically lie from the sum, and the ends of the widths that
// belong to it, ns.
func (m *mix) seen() (off, least, most unit.Width) {
	size := m.t.room.take(m.t.rows())[:0]
	low, high := math.Inf(1), math.Inf(-1)
	for i, y := range m.t.y {
		if m.w[i] > 0 {
			size = append(size, math.Abs(m.t.residual(m.b, i)))
		}
		if m.w[i] > 0 || m.low.holds(y) || m.high.holds(y) {
			low, high = min(low, y), max(high, y)
		}
	}
	return nanos(median(size)), nanos(low), nanos(high)
}

// apart is, by column, how far a channel moved that the others do not account for,
// µs: the range of what is left of it, but for a few rows at either side.
func (m *mix) apart() []float64 {
	far := make([]float64, m.t.cols)
	t := m.t.keep(channelsOf(m), nil)
	inv := t.inverse(m.w, prior{1e-3, math.Inf(1)})
	const few = oddMostly
	for c := 1; inv != nil && c <= len(m.cols); c++ {
		var left outermost
		for i, w := range m.w {
			if w != 0 {
				left.add(dot(inv[c*t.cols:(c+1)*t.cols], t.row(i)) / inv[c*t.cols+c])
			}
		}
		if left.n > 2*few {
			far[c] = left.span(few)
		}
	}
	return far
}

// channelsOf are the first columns of a mix, without dead bands.
func channelsOf(m *mix) []int {
	cols := make([]int, len(m.cols))
	for i := range cols {
		cols[i] = i
	}
	return cols
}

// limit reports a level that is one, if it cuts off more than slopes are unsure by.
func (l *Log) limit(m *mix, v *level, out float64) Limit {
	if !v.limit {
		return Limit{}
	}
	lim := Limit{Width: nanos(v.y)}
	farthest, far := m.onLevel(v, out, &lim.At)
	unsure, late, centred := float64(2*m.drift), 0.0, true
	for c, ch := range m.cols {
		unsure += float64(far[c] * m.half[1+c])
		late = max(late, far[c]*m.doubt[1+c]) // what another delay takes from one it gives to another
		if far[c]*math.Abs(m.b[1+c]) >= pushes {
			lim.Channels = append(lim.Channels, l.Channels[ch].Number)
			centred = centred && l.Channels[ch].Centred
		}
	}
	if farthest < max(beyondMost, late)+unsure || len(lim.Channels) == 0 || centred && math.Abs(v.y-m.b[0]) < nearNeutral {
		return Limit{}
	}
	lim.Beyond = nanos(farthest)
	return lim
}

// forget takes a limit back if a channel that is not reported is among those that went on:
// without it, nothing may have been cut off.
func (l *Limit) forget(open []Term) {
	if slices.ContainsFunc(open, func(t Term) bool { return slices.Contains(l.Channels, t.Channel) }) {
		*l = Limit{}
	}
}

// onLevel looks at the rows that stand on a level: how far the fit goes beyond it,
// at which date, and how far each channel moved meanwhile, µs.
func (m *mix) onLevel(v *level, out float64, at *unit.Time) (farthest float64, far []float64) {
	far = make([]float64, len(m.cols))
	var least, most []float64
	for i, y := range m.t.y {
		beyond := float64(-m.t.residual(m.b, i) * out)
		if !v.holds(y) || beyond < -flatWithin {
			continue
		}
		x := m.t.row(i)[1 : 1+len(m.cols)]
		if least == nil {
			least, most = slices.Clone(x), slices.Clone(x)
		}
		for c := range x {
			least[c], most[c] = min(least[c], x[c]), max(most[c], x[c])
			far[c] = most[c] - least[c]
		}
		if beyond > farthest {
			farthest, *at = beyond, m.t.at[i]
		}
	}
	return farthest, far
}
