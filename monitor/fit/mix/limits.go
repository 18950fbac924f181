package mix

import (
	"math"
	"slices"
)

const (
	flatWithin = 2.5  // µs: half of what a level that stands flat may be high
	flatLeast  = 4    // samples that make a level
	oddShare   = 0.03 // of the samples may lie beyond a level and be wrong pulses
	beyondMost = 12   // µs by which a limit must cut something off: over 960 seeds that cut nothing off none came this far
	fewBetween = 12   // samples between two levels that say more of a slope than the levels do
)

// level is a width at which an output stood at one of its ends, µs.
type level struct {
	y    float64
	seen bool
	// limit: the channels went on while it stood there.
	limit bool
}

// levels finds the widest and the narrowest level in a list of widths.
func levels(y []float64) (low, high level) {
	up := slices.Clone(y)
	slices.Sort(up)
	low = firstLevel(up, 1)
	slices.Reverse(up)
	high = firstLevel(up, -1)
	if low.seen && high.seen && high.y-low.y < 4*flatWithin {
		return level{}, level{} // it stands, or only trembles
	}
	return low, high
}

// firstLevel looks from the front of a sorted list; sign is 1 for ascending.
func firstLevel(y []float64, sign float64) level {
	n := len(y)
	need := max(flatLeast, n/100)
	for i := 0; float64(i) <= oddShare*float64(n) && i+need <= n; i++ {
		if (y[i+need-1]-y[i])*sign > 2*flatWithin {
			continue
		}
		j := i
		for j < n && (y[j]-y[i])*sign <= 2*flatWithin {
			j++
		}
		return level{y: y[(i+j)/2], seen: true}
	}
	return level{}
}

func (l *level) holds(y float64) bool { return l.seen && math.Abs(y-l.y) <= flatWithin }

// judge says whether a level is a limit: a few samples stand on it although
// the fit goes farther. out is 1 for the wide end.
func (l *level) judge(t *table, f *fitted, out float64) {
	count, farthest := 0, 0.0
	for i, y := range t.y {
		if !l.holds(y) {
			continue
		}
		beyond := float64(-t.residual(f.b, i) * out)
		if beyond > max(6, float64(1.5*f.drift)+float64(4*f.sigma*t.loose(i, f.sigma))) {
			count++
			farthest = max(farthest, beyond)
		}
	}
	l.limit = count >= flatLeast && farthest >= beyondMost
}

// unlimited fits only what no limit cut off. First what stands at the ends is left
// out, since it may have been cut off; what then turns out not to be beyond the
// fit comes back. In the end a row is out by where the channels would take it, never
// by where it is: to choose by what was measured would bend the slopes.
func (t *table) unlimited() (f *fitted, use []bool, low, high level) {
	low, high = levels(t.y)
	use = make([]bool, t.rows())
	between := 0
	for i, y := range t.y {
		use[i] = !low.holds(y) && !high.holds(y)
		if use[i] {
			between++
		}
	}
	switch {
	case between >= fewBetween:
	case between >= flatLeast:
		// On its way from one level to another it was seen for too short a time: a line
		// from level to level would pass for a slope, also where a limit is one of them.
		return nil, nil, low, high
	default: // it jumps between two levels, as a switch has it
		for i := range use {
			use[i] = true
		}
	}
	for hubers := huberRounds; hubers > 0; hubers-- {
		if f = t.robust(use, f, hubers, biweightRounds); f == nil {
			return nil, nil, low, high
		}
		low.judge(t, f, -1)
		high.judge(t, f, 1)
		if !t.choose(use, f, &low, &high) {
			break
		}
	}
	if t.owned(&low, f) || t.owned(&high, f) {
		return nil, nil, low, high
	}
	return f, use, low, high
}

// owned reports a limit that may be none: one channel stands at an end of its own
// while the output stands on the level, and hardly ever else, and it is others that the
// fit has go on. A throttle at its lowest while a rudder moves in step with it looks so,
// and then it is not known what moves the output.
func (t *table) owned(l *level, f *fitted) bool {
	if !l.limit {
		return false
	}
	for c := 1; c < t.cols; c++ {
		least, most := t.row(0)[c], t.row(0)[c]
		for i := range t.y {
			least, most = min(least, t.row(i)[c]), max(most, t.row(i)[c])
		}
		if most-least >= movedFar && (t.together(l, c, least) || t.together(l, c, most)) && t.others(l, f, c) {
			return true
		}
	}
	return false
}

// together reports that a channel stands at a width when the output stands on a level,
// and the other way round, but for a fifth of either.
func (t *table) together(l *level, c int, x float64) bool {
	on, at, both := 0, 0, 0
	for i, y := range t.y {
		stands, holds := math.Abs(t.row(i)[c]-x) <= restNoise, l.holds(y)
		if stands {
			at++
		}
		if holds {
			on++
		}
		if stands && holds {
			both++
		}
	}
	return 5*both >= 4*on && 5*both >= 4*at
}

// others reports that a channel but this one moves on a level, by what a fit makes of it.
func (t *table) others(l *level, f *fitted, but int) bool {
	for c := 1; c < t.cols; c++ {
		least, most := math.Inf(1), math.Inf(-1)
		for i, y := range t.y {
			if l.holds(y) {
				least, most = min(least, t.row(i)[c]), max(most, t.row(i)[c])
			}
		}
		if c != but && (most-least)*math.Abs(f.b[c]) >= beyondMost+float64(3*f.drift) {
			return true
		}
	}
	return false
}

// choose says anew which rows are in use, and whether that is a change.
func (t *table) choose(use []bool, f *fitted, low, high *level) (changed bool) {
	for i := range t.y {
		p := t.y[i] - t.residual(f.b, i)
		near := float64(2*f.drift) + float64(2*f.sigma*t.loose(i, f.sigma))
		u := !(low.limit && p < low.y+near || high.limit && p > high.y-near)
		changed = changed || u != use[i]
		use[i] = u
	}
	return changed
}
