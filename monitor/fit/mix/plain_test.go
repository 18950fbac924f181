package mix

import (
	"math"
	"slices"
	"sort"

	"benchproof.example/monitor/unit"
)

// The fit as it was before it was made fast, step by step as it is described: each delay
// with a table of its own, each residual when it is wanted. TestFastAsPlain holds the fast
// one to it, to the last bit.

type plainSample struct {
	episode *Episode
	rise    unit.Duration
	at      unit.Time
	y       float64
}

type plainTable struct {
	cols        int
	x, y, slack []float64
	at          []unit.Time
	ends        []int
	finest      float64
}

type plainFitted struct {
	b, w, u      []float64
	sigma, drift float64
}

type plainTrial struct {
	off, slack float64
	b          []float64
}

func (t *plainTable) rows() int { return len(t.y) }

func (t *plainTable) row(i int) []float64 { return t.x[i*t.cols : (i+1)*t.cols] }

func (l *Log) plainSamples(output int, from unit.Time) (list []plainSample) {
	for i := range l.Kept {
		e := &l.Kept[i]
		if e.At < from {
			continue
		}
		for p := 0; p < e.Pulses.count(); p += 3 {
			if e.Pulses.at(p) == int64(output) {
				rise := unit.Duration(e.Pulses.at(p+1)) * unit.Microsecond
				list = append(list, plainSample{e, rise, e.At.Add(rise), float64(e.Pulses.at(p+2)) / 1000})
			}
		}
	}
	return list
}

func (e *Episode) plainFrame(at unit.Duration) int {
	micros := int64((at + framesFrom) / unit.Microsecond)
	return max(0, sort.Search(e.Frames.count(), func(i int) bool { return e.Frames.at(i) > micros })-1)
}

func (l *Log) plainAt(list []plainSample, delay unit.Duration, rows int) *plainTable {
	n := len(l.Channels)
	rows = min(rows, len(list))
	t := &plainTable{cols: 1 + n, x: make([]float64, 0, rows*(1+n)), finest: finest}
	var before *Episode
	for i := range rows {
		s := &list[i*len(list)/rows]
		e := s.episode
		if e != before {
			t.ends, before = append(t.ends, len(t.y)), e
		}
		earlier, now, later := e.plainFrame(s.rise-delay-shaky), e.plainFrame(s.rise-delay), e.plainFrame(s.rise-delay+shaky)
		t.x = append(t.x, 1)
		for c := range n {
			t.x = append(t.x, float64(e.Base[c]-l.Channels[c].Neutral)/1000)
		}
		row := t.x[len(t.x)-n:]
		slack := 0.0
		for j, c := range e.Moved {
			k := len(e.Moved)
			row[c] = float64(unit.Width(e.Widths.at(now*k+j))-l.Channels[c].Neutral) / 1000
			by := slackShare * float64(e.Widths.at(later*k+j)-e.Widths.at(earlier*k+j)) / 1000
			slack += float64(by * by)
		}
		t.y, t.slack, t.at = append(t.y, s.y), append(t.slack, slack), append(t.at, s.at)
	}
	t.ends = append(t.ends[1:], len(t.y))
	return t
}

func (t *plainTable) keep(cols []int, bands []int) *plainTable {
	n := 1 + len(cols) + len(bands)
	s := &plainTable{cols: n, x: make([]float64, 0, n*t.rows()), y: t.y, slack: t.slack, at: t.at, ends: t.ends, finest: t.finest}
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

func (l *Log) plainDelay(list []plainSample, cols []int, hint unit.Duration) (delay unit.Duration, doubt []float64) {
	try := func(d unit.Duration) plainTrial { return l.plainAt(list, d, delaySamples).keep(cols, nil).try() }
	off := func(d unit.Duration) float64 { return try(d).off }
	near := 2 * delayStep
	if hint < 0 {
		hint = best(off, 0, longestDelay, delayStep)
		near = 3 * delayStep
	}
	// Frames and pulses that nearly keep step make dips, a frame apart: each is looked at.
	d := best(off, hint-near, hint+near, delayStep/2)
	delay = (plateau(off, d, -plateauStep) + plateau(off, d, plateauStep)) / 2
	return delay, plainDoubtOf(try, d, delay, 1+len(cols))
}

func plainDoubtOf(try func(unit.Duration) plainTrial, best, taken unit.Duration, cols int) []float64 {
	doubt := make([]float64, cols)
	least, b := try(best), try(taken).b
	for _, step := range []unit.Duration{-delayStep, delayStep} {
		worse := 0
		for d := best + step; b != nil && d >= 0 && d <= longestDelay && worse < 4; d += step {
			t := try(d)
			if t.b == nil || t.off > least.off+least.slack/2 {
				worse++
				continue
			}
			worse = 0
			for c := range doubt {
				doubt[c] = max(doubt[c], math.Abs(t.b[c]-b[c]))
			}
		}
	}
	return doubt
}

func (t *plainTable) try() (n plainTrial) {
	t.join(driftsIn)
	t.finest = delayFinds // else rest would count for more than what moves
	low, high := levels(t.y)
	use := make([]bool, t.rows())
	for i, y := range t.y {
		if use[i] = !low.holds(y) && !high.holds(y); use[i] {
			n.slack += t.slack[i]
		}
		t.slack[i] = 0 // here it is what moves that shows
	}
	f := t.robust(use, nil, 2, 0)
	if f == nil {
		return plainTrial{off: math.Inf(1)}
	}
	for i, u := range use {
		if u {
			r := min(delayMost, math.Abs(t.residual(f.b, i)-f.u[i]))
			n.off += float64(r * r)
		}
	}
	n.b = f.b
	return n
}

func (t *plainTable) join(within unit.Duration) {
	var ends []int
	began := unit.Time(math.MinInt64 / 2)
	from := 0
	for _, end := range t.ends {
		if t.at[from].Sub(began) >= within {
			began = t.at[from]
			ends = append(ends, end)
		}
		ends[len(ends)-1] = end
		from = end
	}
	t.ends = ends
}

func (f *plainFitted) prior() prior {
	s := float64(f.sigma * f.sigma)
	return prior{slope: s / (steepest * steepest), episode: s / (f.drift * f.drift)}
}

func (t *plainTable) robust(use []bool, before *plainFitted, hubers, biweights int) *plainFitted {
	f := &plainFitted{w: make([]float64, t.rows()), sigma: firstSpread, drift: firstSpread}
	if before != nil {
		f.b, f.sigma, f.drift = before.b, before.sigma, before.drift
		f.u = t.parts(f.b, before.w, f.prior())
	}
	least := firstSpread
	if hubers == 0 {
		least = t.finest
	}
	size := make([]float64, 0, t.rows())
	for round := 0; ; round++ {
		for i, u := range use {
			switch {
			case !u:
				f.w[i] = 0
			case f.b == nil:
				l := t.loose(i, f.sigma)
				f.w[i] = 1 / (l * l)
			default:
				l := t.loose(i, f.sigma)
				r := (t.residual(f.b, i) - f.u[i]) / l / f.sigma
				f.w[i] = weight(r, round <= hubers) / (l * l)
			}
		}
		if f.b = t.solve(f.w, f.prior()); f.b == nil {
			return nil
		}
		f.u = t.parts(f.b, f.w, f.prior())
		if round == hubers+biweights {
			return f
		}
		f.sigma = max(t.finest, t.spread(f, use, size), least)
		least /= 2
		f.drift = max(t.finest/10, t.drift(f))
	}
}

func (t *plainTable) spread(f *plainFitted, use []bool, size []float64) float64 {
	for i, u := range use {
		if u {
			size = append(size, math.Abs(t.residual(f.b, i)-f.u[i])/t.loose(i, f.sigma))
		}
	}
	return median(size) / normalMAD
}

func (t *plainTable) drift(f *plainFitted) float64 {
	means, noise := make([]float64, 0, len(t.ends)), make([]float64, 0, len(t.ends))
	from := 0
	for _, end := range t.ends {
		ws, rs := 0.0, 0.0
		for i := from; i < end; i++ {
			if f.w[i] != 0 {
				ws, rs = ws+f.w[i], rs+float64(f.w[i]*t.residual(f.b, i))
			}
		}
		if ws >= 1 {
			means, noise = append(means, rs/ws), append(noise, f.sigma*f.sigma/ws)
		}
		from = end
	}
	middle := median(means)
	for i, m := range means {
		means[i] = math.Abs(m - middle)
	}
	spread := median(means) / normalMAD
	return math.Sqrt(max(0, float64(spread*spread)-median(noise)))
}

func (t *plainTable) loose(i int, sigma float64) float64 {
	s := max(1, sigma)
	return math.Sqrt(1 + t.slack[i]/(s*s))
}

func (t *plainTable) normal(w []float64, p prior) (a, b []float64) {
	n := t.cols
	a, b = make([]float64, n*n), make([]float64, n)
	sum := make([]float64, n)
	from := 0
	for _, end := range t.ends {
		clear(sum)
		ws, ys := 0.0, 0.0
		for i := from; i < end; i++ {
			if w[i] != 0 {
				plainAdd(a, b, t.row(i), t.y[i], w[i])
				ws, ys = ws+w[i], ys+float64(w[i]*t.y[i])
				for j, x := range t.row(i) {
					sum[j] += float64(w[i] * x)
				}
			}
		}
		if ws > 0 && !math.IsInf(p.episode, 1) {
			plainAdd(a, b, sum, ys, -1/(ws+p.episode))
		}
		from = end
	}
	for j := 1; j < n; j++ {
		a[j*n+j] += p.slope
	}
	return a, b
}

func plainAdd(a, b, row []float64, y, w float64) {
	n := len(row)
	for j, x := range row {
		wx := float64(w * x)
		b[j] += float64(wx * y)
		for k, v := range row[:j+1] {
			a[j*n+k] += float64(wx * v)
		}
	}
}

func (t *plainTable) solve(w []float64, p prior) []float64 {
	a, b := t.normal(w, p)
	if !cholesky(a, t.cols) {
		return nil
	}
	back(a, b, t.cols)
	return b
}

func (t *plainTable) residual(b []float64, i int) float64 { return t.y[i] - dot(t.row(i), b) }

func (t *plainTable) parts(b, w []float64, p prior) []float64 {
	u := make([]float64, t.rows())
	from := 0
	for _, end := range t.ends {
		ws, rs := 0.0, 0.0
		for i := from; i < end; i++ {
			if w[i] != 0 {
				ws, rs = ws+w[i], rs+float64(w[i]*t.residual(b, i))
			}
		}
		for i := from; i < end && ws > 0 && !math.IsInf(p.episode, 1); i++ {
			u[i] = rs / (ws + p.episode)
		}
		from = end
	}
	return u
}

func (t *plainTable) width(c int) float64 {
	list := make([]float64, t.rows())
	for i := range list {
		list[i] = t.row(i)[c]
	}
	slices.Sort(list)
	k := min(len(list)/2, 3)
	return list[len(list)-1-k] - list[k] + 1e-3
}

func (l *Log) plainMoving(list []plainSample) (cols []int) {
	t := l.plainAt(list, 0, len(list))
	for c := range l.Channels {
		if t.width(1+c) >= restNoise {
			cols = append(cols, c)
		}
	}
	return cols
}

func (k kin) plainPairs(z []float64, at []unit.Time, alike []float64) float64 {
	own, cross := 0.0, 0.0
	for i := range z {
		own += float64(z[i] * z[i])
		for j := i - 1; j >= 0 && at[i].Sub(at[j]) < k.span; j-- {
			cross += float64(2 * alike[at[i].Sub(at[j])/k.bin] * z[i] * z[j])
		}
	}
	return max(own, own+cross)
}
