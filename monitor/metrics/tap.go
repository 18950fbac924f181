package metrics

import (
	"slices"

	"github.com/prometheus/client_golang/prometheus"

	"benchproof.example/monitor/state"
)

// tapLabels are tap and what a family adds to it.
func tapLabels(more ...string) []string { return append([]string{"tap"}, more...) }

// perTap reads a family tap by tap and sets the label tap.
func perTap(read func(*state.Tap, show)) func(*state.State, show) {
	return func(s *state.State, out show) {
		for i := range s.Taps {
			t := &s.Taps[i]
			read(t, func(value float64, labels ...string) { out(value, slices.Insert(labels, 0, t.Name)...) })
		}
	}
}

// isBus tells a bus from servo leads and from a phone, which have no frames.
func isBus(t *state.Tap) bool { return t.Kind != "pulses" && t.Phone == nil }

// perBus is perTap for buses alone.
func perBus(read func(*state.Tap, show)) func(*state.State, show) {
	return perTap(func(t *state.Tap, show show) {
		if isBus(t) {
			read(t, show)
		}
	})
}

// busCounter is a counter of each bus, there from the first scrape on.
func busCounter(name, help string, count func(*state.Tap) int64) family {
	return counter(name, help, tapLabels(), perBus(func(t *state.Tap, show show) { show(float64(count(t))) }))
}

// tapCounter is a counter of each tap, there from the first scrape on.
func tapCounter(name, help string, count func(*state.Tap) int64) family {
	return counter(name, help, tapLabels(), perTap(func(t *state.Tap, show show) { show(float64(count(t))) }))
}

// port are the families of a tap's port and of the bytes that came through it.
func port() []family {
	return []family{
		gauge("tap_up", "1 while the port is open.", tapLabels(), perTap(func(t *state.Tap, show show) { show(truth(t.Up)) })),
		gauge("tap_live", "1 while frames come, or pulses.", tapLabels(), perTap(func(t *state.Tap, show show) { show(truth(t.Condition().IsHeard())) })),
		tapCounter("tap_ups_total", "How often the port came up.", func(t *state.Tap) int64 { return t.Ups }),
		tapCounter("received_bytes_total", "Characters read from the port.", func(t *state.Tap) int64 { return t.Bytes }),
		tapCounter("bad_bytes_total", "Of the characters read, those that the port marked as bad.", func(t *state.Tap) int64 { return t.BadChars }),
		tapCounter("lost_bytes_total", "Characters that the port lost before they were read.", func(t *state.Tap) int64 { return t.LostChars }),
		counter("refused_bytes_total", "Of the characters read, those that are part of no frame and no board's line, by reason.",
			tapLabels("reason"), perTap(refused)),
	}
}

// refused shows every reason, also those that were never needed.
func refused(t *state.Tap, show show) {
	for _, reason := range t.RefusalReasons() {
		var n int64
		for _, r := range t.Refused {
			if r.Reason == reason {
				n += r.Bytes
			}
		}
		show(float64(n), reason)
	}
}

// frames are the families of a bus's frames.
func frames() []family {
	return []family{
		busCounter("frames_total", "Frames read.", func(t *state.Tap) int64 { return t.Frames }),
		busCounter("damaged_frames_total", "Of the frames read, those with a bad character in them.", func(t *state.Tap) int64 { return t.Damaged }),
		busCounter("missed_frames_total", "Of the frames read, those flagged: the receiver did not hear the transmitter. "+
			"Those before the first link and in a loss too; link_missed_frames_total leaves them out.",
			func(t *state.Tap) int64 { return t.Missed }),
		busCounter("failsafe_frames_total", "Of the frames read, those flagged: the receiver has given up.", func(t *state.Tap) int64 { return t.Failsafe }),
		busCounter("link_frames_total", "Undamaged frames of a live link; the claim link/missed rests on these.",
			func(t *state.Tap) int64 { return t.LinkFrames }),
		busCounter("link_missed_frames_total", "Of a live link's frames, those missed on the air.", func(t *state.Tap) int64 { return t.LinkMissed }),
		busCounter("link_missed_runs_total", "Runs of frames that a live link missed on the air.", func(t *state.Tap) int64 { return t.LinkMissedRuns }),
		busCounter("gap_frames_total", "Frames that the bus left out, by its own rhythm.", func(t *state.Tap) int64 { return t.GapFrames }),
		busCounter("gap_runs_total", "Runs of frames that the bus left out.", func(t *state.Tap) int64 { return t.GapRuns }),
		busCounter("damage_runs_total", "Runs of damage on the wire, refused bytes among it, in pieces of ten seconds.",
			func(t *state.Tap) int64 { return t.DamageRuns }),
		gauge("last_frame_timestamp_seconds", "When the latest frame came, Unix time; absent before the first.", tapLabels(), lastFrame),
	}
}

// lastFrame needs the session's clock beside the tap.
func lastFrame(s *state.State, show show) {
	for i := range s.Taps {
		if t := &s.Taps[i]; t.LastNS >= 0 && isBus(t) {
			show(unix(s, t.LastNS), t.Name)
		}
	}
}

// periods is the histogram of the times from frame to frame.
func periods() family {
	desc := describe("frame_period_seconds", "From frame to frame, when they were on the wire.", tapLabels())
	return family{desc, func(s *state.State, desc *prometheus.Desc, out chan<- prometheus.Metric) {
		for i := range s.Taps {
			t := &s.Taps[i]
			if !isBus(t) {
				continue
			}
			count, buckets := cumulate(&t.Periods)
			m, err := prometheus.NewConstHistogram(desc, count, seconds(t.Periods.SumNS), buckets, printable([]string{t.Name})...)
			if err != nil {
				m = prometheus.NewInvalidMetric(desc, err)
			}
			out <- m
		}
	}}
}

// cumulate makes of counts of each bucket alone what Prometheus wants: all up to
// each bound, and all.
func cumulate(h *state.Histogram) (count uint64, buckets map[float64]uint64) {
	buckets = make(map[float64]uint64, len(state.PeriodBounds))
	for i, n := range h.Counts {
		count += uint64(n)
		if i < len(state.PeriodBounds) {
			buckets[seconds(state.PeriodBounds[i])] = count
		}
	}
	return count, buckets
}
