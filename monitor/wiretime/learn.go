package wiretime

import "benchproof.example/monitor/unit"

// steady reports that both halves of a window have one pace.
func steady(dates []unit.Time) bool {
	first, _, _ := lowerEdge(dates[:window/2], dates[0])
	second, _, _ := lowerEdge(dates[window/2:], dates[0])
	return max(first-second, second-first) <= (first+second)/40
}

// learn collects dates without a hole and lays the line along the lower edge of them.
func (e *Estimator) learn(at unit.Time, since unit.Duration) {
	if since > tooFar {
		e.Learnt, e.Anew = e.Learnt[:0], false
	}
	e.Learnt = append(e.Learnt, at)
	if len(e.Learnt) < learning {
		return
	}
	if behind := holeIn(e.Learnt); behind > 0 && !e.Anew {
		e.Learnt = append(e.Learnt[:0], e.Learnt[behind:]...)
		e.Anew = true
		return
	}
	period, line, most := lowerEdge(e.Learnt, e.Zero)
	e.Learnt, e.Anew = nil, false
	if period < e.shortest() {
		return
	}
	e.Period, e.Line, e.Young, e.Fresh = period, line, freshWindows, settleFrames
	e.Most, e.MostWas, e.Calm = most, most, most
}

// lowerEdge finds the straight line on or below all dates that lies closest to
// them: the edge of the lower convex hull above their middle. It returns the
// slope and the line's value at the last date, ns × periodFraction after zero, and the largest lag.
func lowerEdge(dates []unit.Time, zero unit.Time) (slope, end int64, most unit.Duration) {
	hull := make([]int, 0, len(dates))
	for i := range dates {
		for len(hull) >= 2 && !turnsUp(dates, hull[len(hull)-2], hull[len(hull)-1], i) {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, i)
	}
	middle := (len(dates) - 1) / 2
	k := 1
	for hull[k] <= middle {
		k++
	}
	a, b := hull[k-1], hull[k]
	slope = int64(dates[b].Sub(dates[a])) * periodFraction / int64(b-a)
	at := func(i int) int64 { return int64(dates[a].Sub(zero))*periodFraction + slope*int64(i-a) }
	for i, d := range dates {
		most = max(most, d.Sub(zero)-unit.Duration(at(i)/periodFraction))
	}
	return slope, at(len(dates) - 1), most
}

func turnsUp(d []unit.Time, a, b, c int) bool {
	return int64(d[b].Sub(d[a]))*int64(c-b) < int64(d[c].Sub(d[b]))*int64(b-a)
}
