package metrics_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/state"
)

// plainHandler shows what a handler of ours does, from the library's own vectors of gauges and
// histograms, whose values stand there already.
func plainHandler(t testing.TB, s state.State) http.Handler {
	from, to := prometheus.NewRegistry(), prometheus.NewRegistry()
	from.MustRegister(at(s))
	families, err := from.Gather()
	require.NoError(t, err)
	for _, f := range families {
		names, vec, hist := []string{}, (*prometheus.GaugeVec)(nil), (*prometheus.HistogramVec)(nil)
		for _, l := range f.Metric[0].Label {
			names = append(names, l.GetName())
		}
		if f.Metric[0].Histogram == nil {
			vec = prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: f.GetName(), Help: f.GetHelp()}, names)
			to.MustRegister(vec)
		} else {
			bounds := []float64{}
			for _, b := range f.Metric[0].Histogram.Bucket {
				bounds = append(bounds, b.GetUpperBound())
			}
			hist = prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: f.GetName(), Help: f.GetHelp(), Buckets: bounds}, names)
			to.MustRegister(hist)
		}
		for _, m := range f.Metric {
			values := []string{}
			for _, l := range m.Label {
				values = append(values, l.GetValue())
			}
			if vec != nil {
				vec.WithLabelValues(values...).Set(m.GetGauge().GetValue() + m.GetCounter().GetValue())
			} else {
				hist.WithLabelValues(values...).Observe(0.007)
			}
		}
	}
	to.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return promhttp.HandlerFor(to, promhttp.HandlerOpts{EnableOpenMetrics: true})
}

// eightTaps is a bench with eight buses.
func eightTaps(t testing.TB) state.State {
	s := moment(t, "testdata/hearing.json")
	tap := s.Taps[0]
	s.Taps = nil
	for i := range 8 {
		tap.Name = fmt.Sprintf("bus%d", i+1)
		s.Taps = append(s.Taps, tap)
	}
	return s
}

// What a scrape of eight taps costs, alternated with one that has the same lines to show from
// vectors of the library's own.
func BenchmarkScrape(b *testing.B) {
	s := eightTaps(b)
	ours, plain := metrics.Handler(func() state.State { return s }), plainHandler(b, s)
	lines := func(h http.Handler) int { return strings.Count(scrape(h, "text/plain").Body.String(), "\nbenchproof_") }
	require.Equal(b, lines(ours), lines(plain))
	var took [2]time.Duration
	for b.Loop() {
		for i, h := range []http.Handler{ours, plain} {
			began := time.Now()
			scrape(h, "text/plain")
			took[i] += time.Since(began)
		}
	}
	b.ReportMetric(float64(took[0])/float64(took[1]), "times-plain")
	b.ReportMetric(testing.AllocsPerRun(3, func() { scrape(ours, "text/plain") }), "allocs-ours")
	b.ReportMetric(testing.AllocsPerRun(3, func() { scrape(plain, "text/plain") }), "allocs-plain")
}
