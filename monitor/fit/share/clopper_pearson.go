package share

import "gonum.org/v1/gonum/mathext"

// tail is how much lies outside an interval on each side: it has 95 %.
const tail = 0.025

// clopperPearson is the exact interval of a share of which k in n were seen; neither need
// be whole.
func clopperPearson(k, n float64) (low, high float64) {
	low, high = 0, 1
	if k > 0 {
		low = mathext.InvRegIncBeta(k, n-k+1, tail)
	}
	if k < n {
		high = upper(k, n, 1-tail)
	}
	return low, high
}

// upper is what the share does not exceed, so sure, where k in n were seen.
func upper(k, n, sure float64) float64 { return mathext.InvRegIncBeta(k+1, n-k, sure) }
