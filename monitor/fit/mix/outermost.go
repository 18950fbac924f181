package mix

// oddMostly is how many values at either end outermost can leave out.
const oddMostly = 4

// outermost keeps the few least and the few most of some values.
type outermost struct {
	n     int
	least [oddMostly + 1]float64 // ascending
	most  [oddMostly + 1]float64 // descending
}

func (o *outermost) add(x float64) {
	last := min(o.n, oddMostly)
	if o.n <= oddMostly || x < o.least[last] {
		i := last
		for ; i > 0 && o.least[i-1] > x; i-- {
			o.least[i] = o.least[i-1]
		}
		o.least[i] = x
	}
	if o.n <= oddMostly || x > o.most[last] {
		i := last
		for ; i > 0 && o.most[i-1] < x; i-- {
			o.most[i] = o.most[i-1]
		}
		o.most[i] = x
	}
	o.n++
}

// span is how far the values lie apart but for so many at either end, which are fewer than
// half of them and no more than oddMostly.
func (o *outermost) span(but int) float64 { return o.most[but] - o.least[but] }

// width is how far the values lie apart, but for single odd ones.
func (o *outermost) width() float64 {
	k := min(o.n/2, 3)
	return o.span(k) + 1e-3
}
