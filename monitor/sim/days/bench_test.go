//go:build unix

package days_test

import (
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/days"
)

// benchDays is how many days a round has.
const benchDays = 20

// BenchmarkDays has days pass, beside a plain judge loop over what they put in: days without what
// is checked behind each life, and with it.
func BenchmarkDays(b *testing.B) {
	for name, play := range map[string]func(*days.Story) (days.Played, error){
		"ours": func(s *days.Story) (days.Played, error) { return days.PlayWith(s, days.Spoiled{Unchecked: true}) }, "checked": days.Play,
	} {
		b.Run(name, func(b *testing.B) {
			began := busy(b)
			for b.Loop() {
				for seed := range uint64(benchDays) {
					_, err := play(days.New(seed))
					require.NoError(b, err)
				}
			}
			b.ReportMetric(benchDays*float64(b.N)/(busy(b)-began).Seconds(), "days/CPU-s")
		})
	}
	b.Run("yardstick", func(b *testing.B) {
		var heard []days.Heard
		for seed := range uint64(benchDays) {
			_, h, err := days.Listen(days.New(seed))
			require.NoError(b, err)
			heard = append(heard, h...)
		}
		began := busy(b)
		for b.Loop() {
			for i := range heard {
				heard[i].Judge()
			}
		}
		b.ReportMetric(benchDays*float64(b.N)/(busy(b)-began).Seconds(), "days/CPU-s")
	})
}

// busy is for how long processors were busy with this process: a day on one of them is the same on a
// busy computer.
func busy(b *testing.B) time.Duration {
	var used syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &used))
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
