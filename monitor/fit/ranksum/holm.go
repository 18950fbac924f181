package ranksum

import (
	"cmp"
	"slices"
)

// Holm says of which marks, each with its probability in thousandths, a difference may be
// claimed when any false claim among all of them is to be rarer than one in twenty (Holm's
// step-down procedure).
func Holm(thousandths []int64) []bool {
	order := make([]int, len(thousandths))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(thousandths[a], thousandths[b]) })
	differs := make([]bool, len(thousandths))
	for place, i := range order {
		if thousandths[i]*int64(len(order)-place) > 50 {
			break
		}
		differs[i] = true
	}
	return differs
}
