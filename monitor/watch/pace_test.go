package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

func TestPeriodIsToldWhenItChangesByMoreThanATwentieth(t *testing.T) {
	us := unit.Microsecond
	for _, c := range []struct {
		name    string
		periods []unit.Duration
		want    []any
	}{
		{"once", []unit.Duration{7 * ms, 7 * ms}, []any{event.PeriodData{PeriodNS: 7 * ms}}},
		{"rounded to 100 µs", []unit.Duration{7049 * us, 7050 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}}},
		{"rounded up", []unit.Duration{6950 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}}},
		{"a twentieth more", []unit.Duration{7 * ms, 7350 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}}},
		{"more than that", []unit.Duration{7 * ms, 7351 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}, event.PeriodData{PeriodNS: 7400 * us, WasNS: 7 * ms}}},
		{"a twentieth less", []unit.Duration{7 * ms, 6650 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}}},
		{"less than that", []unit.Duration{7 * ms, 6649 * us}, []any{event.PeriodData{PeriodNS: 7 * ms}, event.PeriodData{PeriodNS: 6600 * us, WasNS: 7 * ms}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, data(reported(t, plain, func() base.Watcher { return &link.Period{Tap: 1} }, func(r *rig) {
				for _, p := range c.periods {
					r.period = p
					r.send(3)
				}
			})))
		})
	}
}
