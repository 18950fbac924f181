package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

func TestPeriodIsToldWhenItChangesByMoreThanATwentieth(t *testing.T) {
	us := fact.Microsecond
	for _, c := range []struct {
		name    string
		periods []fact.Time
		want    []any
	}{
		{"once", []fact.Time{7 * ms, 7 * ms}, []any{fact.PeriodData{PeriodNS: 7 * ms}}},
		{"rounded to 100 µs", []fact.Time{7049 * us, 7050 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}}},
		{"rounded up", []fact.Time{6950 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}}},
		{"a twentieth more", []fact.Time{7 * ms, 7350 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}}},
		{"more than that", []fact.Time{7 * ms, 7351 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}, fact.PeriodData{PeriodNS: 7400 * us, WasNS: 7 * ms}}},
		{"a twentieth less", []fact.Time{7 * ms, 6650 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}}},
		{"less than that", []fact.Time{7 * ms, 6649 * us}, []any{fact.PeriodData{PeriodNS: 7 * ms}, fact.PeriodData{PeriodNS: 6600 * us, WasNS: 7 * ms}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, data(told(t, plain, func() watch.Watcher { return &watch.Period{Tap: 1} }, func(r *rig) {
				for _, p := range c.periods {
					r.period = p
					r.send(3)
				}
			})))
		})
	}
}
