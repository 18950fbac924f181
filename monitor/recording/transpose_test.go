package recording

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTransposed(t *testing.T) {
	for _, x := range []struct {
		name string
		data []string
		want string
	}{
		{"nothing", nil, ""},
		{"one", []string{"abc"}, "abc"},
		{"alike", []string{"$A1", "$A2", "$B3"}, "$$$AAB123"},
		{"the shortest first, in any order", []string{"$A1", "hi", "$A2", "", "ho", "$B3"}, "hhio$$$AAB123"},
		{"empty", []string{"", ""}, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			places := transposition{groups: []sameLength{{7, []int{7}}}} // of an earlier bundle
			places.reset()
			var all []byte
			for _, d := range x.data {
				places.add(len(all), len(d))
				all = append(all, d...)
			}
			turned := places.turn(nil, all)
			assert.Equal(t, x.want, string(turned))
			back := make([]byte, len(all))
			places.turnBack(back, turned)
			assert.Equal(t, string(all), string(back))
		})
	}
}
