package wiretime

import "benchproof.example/monitor/unit"

const (
	bucket  = unit.Second     // of the board's clock: one point of the line each
	points  = 16              // that the line is laid by
	enough  = 4               // points before the board's rate is believed
	lost    = 2 * unit.Second // a lag beyond which the line is laid anew: the computer slept, or the board's ticks went round unheard
	mostOff = 10_000_000      // parts per billion: no board's clock is further off (a ceramic resonator is within half of it, from memory)
	billion = 1_000_000_000
)

// BoardEstimator ties the clock of a capture board to bench time. The board dates its
// pulses itself, exactly but by a clock of its own; the computer dates what it
// reads late, never early. So the line that lies below all dates and touches the
// smallest lags is the estimate, as for a bus, and its slope is the board's rate:
//
//	date       .  :    .        .  dates of lines
//	     .  . .  .   .    .  .
//	   /-------------------------  the line: bench time of the board's clock
//
// The smallest lag of each second is a point, and the line is the lower edge of
// the last sixteen. The estimate is causal and depends on (board time, date)
// alone. The zero value is ready; its fields are what a checkpoint keeps.
type BoardEstimator struct {
	Laid   bool
	Epoch  int           // of the board's clock
	Origin unit.Duration // board time at which the line is Base, ns
	Base   unit.Time     // bench time there
	Off    int64         // how much slower the board's clock is than ours, parts per billion
	Out    unit.Time     // the last estimate handed out: they never decrease

	Low    Point // with the smallest lag of this second
	Lag    unit.Duration
	Points []Point // of the seconds before
}

// Point is a board time and the date of its line.
type Point struct {
	Board unit.Duration
	Date  unit.Time
}

// At says when something happened on the bench that the board dates at board, ns
// of its clock, and whose line was read at date.
func (b *BoardEstimator) At(epoch int, board unit.Duration, date unit.Time) unit.Time {
	if !b.Laid || epoch != b.Epoch || date.Sub(b.line(board)) > lost {
		b.lay(epoch, board, date)
	}
	if board-b.Origin >= bucket {
		b.next(board)
	}
	lag := date.Sub(b.line(board))
	if lag < 0 {
		b.Base = b.Base.Add(lag)
		b.Lag -= lag
		lag = 0
	}
	if lag < b.Lag {
		b.Low, b.Lag = Point{board, date}, lag
	}
	b.Out = max(b.Out, b.line(board))
	return b.Out
}

// Reset forgets the line but not the board's rate: the port went away.
func (b *BoardEstimator) Reset() { *b = BoardEstimator{Off: b.Off, Out: b.Out} }

func (b *BoardEstimator) lay(epoch int, board unit.Duration, date unit.Time) {
	*b = BoardEstimator{Laid: true, Epoch: epoch, Origin: board, Base: date, Off: b.Off, Out: b.Out, Lag: unit.Forever}
}

func (b *BoardEstimator) line(board unit.Duration) unit.Time {
	since := board - b.Origin
	return b.Base.Add(since + since/1000*unit.Duration(b.Off)/(billion/1000))
}

// next ends a second: its lowest point joins, and the line is laid anew from here.
func (b *BoardEstimator) next(board unit.Duration) {
	if b.Lag < unit.Forever {
		if len(b.Points) == points {
			b.Points = append(b.Points[:0], b.Points[1:]...)
		}
		b.Points = append(b.Points, b.Low)
	}
	if len(b.Points) >= enough {
		b.refit(board)
	} else {
		b.move(board)
	}
	b.Lag = unit.Forever
}

// move brings the origin forward on the same line.
func (b *BoardEstimator) move(board unit.Duration) { b.Base, b.Origin = b.line(board), board }

// refit lays the line along the lower edge of the points: the edge of their lower
// hull above their middle.
func (b *BoardEstimator) refit(board unit.Duration) {
	p := b.Points
	hull := make([]int, 0, points)
	for i := range p {
		for len(hull) >= 2 && !bends(p[hull[len(hull)-2]], p[hull[len(hull)-1]], p[i]) {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, i)
	}
	middle := p[0].Board + (p[len(p)-1].Board-p[0].Board)/2
	k := 1
	for k < len(hull)-1 && p[hull[k]].Board <= middle {
		k++
	}
	from, to := p[hull[k-1]], p[hull[k]]
	span := to.Board - from.Board
	if span < bucket {
		b.move(board)
		return
	}
	// The difference is below a hundredth of 16 s: no overflow.
	off := int64(to.Date.Sub(from.Date)-span) * 1000 / int64(span/1_000_000)
	if off < -mostOff || off > mostOff { // no clock: the board or the computer stood still
		b.Points = b.Points[:0]
		b.move(board)
		return
	}
	b.Off, b.Origin, b.Base = off, to.Board, to.Date
	b.move(board)
}

// bends reports whether the way from a over b to c turns upwards at b.
func bends(a, b, c Point) bool {
	return int64(b.Date.Sub(a.Date)/1000)*int64((c.Board-b.Board)/1000) < int64(c.Date.Sub(b.Date)/1000)*int64((b.Board-a.Board)/1000)
}
