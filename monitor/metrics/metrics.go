// Package metrics shows a bench to Prometheus. Everything comes from one
// snapshot, taken when somebody asks: a scrape touches neither a port nor a disk,
// and what is no longer heard is no longer shown.
//
// Names begin with benchproof_, units are seconds and bytes, counters end in
// _total. Widths of channels are seconds too: a servo pulse of 1500 µs is 0.0015.
// Labels are few and bounded: tap, channel (its name in the sheet, its number
// where it has none), output (its number), signal, mode, reason, claim, verdict, drill, and on the two
// info metrics build and model.
//
// Counters count since the session began. One that goes back, after a resume or a
// fault of judgement, is a restart to Prometheus.
package metrics

import (
	"strings"

	"github.com/prometheus/client_golang/prometheus"

	"benchproof.example/monitor/state"
)

// Collector is a prometheus.Collector over snapshots of a bench. It may be asked
// by several at once, if the snapshot function may.
type Collector struct {
	snapshot func() state.State
	families []family
}

// New makes a collector that asks for one snapshot a scrape.
func New(snapshot func() state.State) *Collector {
	var all []family
	for _, some := range [][]family{session(), recorder(), claims(), port(), frames(), values(), outputs(), soak()} {
		all = append(all, some...)
	}
	return &Collector{snapshot: snapshot, families: append(all, periods())}
}

// Describe implements prometheus.Collector.
func (c *Collector) Describe(out chan<- *prometheus.Desc) {
	for i := range c.families {
		out <- c.families[i].desc
	}
}

// Collect implements prometheus.Collector.
func (c *Collector) Collect(out chan<- prometheus.Metric) {
	s := c.snapshot()
	for i := range c.families {
		c.families[i].collect(&s, c.families[i].desc, out)
	}
}

// family is all metrics of one name.
type family struct {
	desc    *prometheus.Desc
	collect func(s *state.State, desc *prometheus.Desc, out chan<- prometheus.Metric)
}

// show is how a family hands over one value, with a value for each label.
type show func(value float64, labels ...string)

func gauge(name, help string, labels []string, read func(*state.State, show)) family {
	return plain(prometheus.GaugeValue, name, help, labels, read)
}

func counter(name, help string, labels []string, read func(*state.State, show)) family {
	return plain(prometheus.CounterValue, name, help, labels, read)
}

func plain(kind prometheus.ValueType, name, help string, labels []string, read func(*state.State, show)) family {
	return family{describe(name, help, labels), func(s *state.State, desc *prometheus.Desc, out chan<- prometheus.Metric) {
		read(s, func(value float64, labels ...string) {
			m, err := prometheus.NewConstMetric(desc, kind, value, printable(labels)...)
			if err != nil {
				m = prometheus.NewInvalidMetric(desc, err)
			}
			out <- m
		})
	}}
}

func describe(name, help string, labels []string) *prometheus.Desc {
	return prometheus.NewDesc("benchproof_"+name, help, labels, nil)
}

// printable keeps a label that is no UTF-8, which Prometheus refuses, from taking
// the scrape with it.
func printable(labels []string) []string {
	for i, l := range labels {
		labels[i] = strings.ToValidUTF8(l, "\uFFFD")
	}
	return labels
}

// truth is 1 for true and 0 for false.
func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// seconds are nanoseconds in the base unit.
func seconds[N ~int64](ns N) float64 { return float64(ns) / 1e9 }
