package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestHowLongNoFrameMayCome(t *testing.T) {
	const ms = unit.Millisecond
	for _, c := range []struct {
		name string
		pace event.Pace
		want unit.Duration
	}{
		{"100 ms at least", event.Pace{Known: true, Period: 7 * ms}, 100 * ms},
		{"five periods", event.Pace{Known: true, Period: 25 * ms}, 125 * ms},
		{"and twice what the adapter clumps", event.Pace{Known: true, Period: 7 * ms, Clump: 16 * ms}, 132 * ms},
		{"longer while the period is not known", event.Pace{}, 300 * ms},
	} {
		assert.Equal(t, c.want, c.pace.Limit(), c.name)
	}
}
