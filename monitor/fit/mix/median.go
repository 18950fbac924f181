package mix

// median of a list, which it puts into another order: the upper one of the middle two.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	k := len(v) / 2
	for len(v) > 1 {
		p := middle(v[0], v[len(v)/2], v[len(v)-1])
		n := below(v, p)
		if k < n {
			v = v[:n]
			continue
		}
		v, k = v[n:], k-n
		n = notAbove(v, p)
		if k < n || n == 0 {
			return p
		}
		v, k = v[n:], k-n
	}
	return v[0]
}

// below puts what is less than p to the front, and counts it. Which way a value goes is
// added, not asked: a processor guesses wrong half of the time.
func below(v []float64, p float64) (n int) {
	for i, x := range v {
		v[i], v[n] = v[n], x
		less := 0
		if x < p {
			less = 1
		}
		n += less
	}
	return n
}

// notAbove is below, with what equals p.
func notAbove(v []float64, p float64) (n int) {
	for i, x := range v {
		v[i], v[n] = v[n], x
		not := 0
		if x <= p {
			not = 1
		}
		n += not
	}
	return n
}

func middle(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }
