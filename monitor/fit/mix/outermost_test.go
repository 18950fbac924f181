package mix

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// How far values lie apart is what sorting them gives, in whichever order they come.
func TestOutermost(t *testing.T) {
	luck := rand.New(rand.NewPCG(1, 1))
	for n := 1; n < 40; n++ {
		var o outermost
		var list []float64
		for range n {
			x := float64(luck.IntN(20)) - 10
			o.add(x)
			list = append(list, x)
		}
		slices.Sort(list)
		for but := 0; but <= oddMostly && but <= n/2 && but < n; but++ {
			assert.Equal(t, list[n-1-but]-list[but], o.span(but), "%v but for %d", list, but)
		}
	}
}
