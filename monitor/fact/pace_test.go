package fact_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fact"
)

func TestHowLongNoFrameMayCome(t *testing.T) {
	const ms = fact.Millisecond
	for _, c := range []struct {
		name string
		pace fact.Pace
		want fact.Time
	}{
		{"100 ms at least", fact.Pace{Known: true, Period: 7 * ms}, 100 * ms},
		{"five periods", fact.Pace{Known: true, Period: 25 * ms}, 125 * ms},
		{"and twice what the adapter clumps", fact.Pace{Known: true, Period: 7 * ms, Clump: 16 * ms}, 132 * ms},
		{"longer while the period is not known", fact.Pace{}, 300 * ms},
	} {
		assert.Equal(t, c.want, c.pace.Limit(), c.name)
	}
}
