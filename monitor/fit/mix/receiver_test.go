package mix_test

import (
	"math"
	"math/rand/v2"

	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

// receiver is a receiver with sticks, a bus and one output, made for these tests
// from its own formulas. Widths are µs, times s.
type receiver struct {
	slopes    []float64 // of the channels
	offset    float64   // of a stabiliser
	low, high float64   // limits
	dead      float64   // of each stick, on the channel
	delay     float64
	frame     float64 // between frames
	pulse     float64 // between pulses
	drift     float64 // of a stabiliser: amplitude
	driftHz   float64
	jitter    float64 // µs, as a standard deviation
	step      float64 // of the widths
	odd       float64 // share of wrong pulses
	packet    float64 // between what comes over the air, which bus and pulses take alike; 0: each is as new as the bus
}

func plainReceiver(slopes ...float64) receiver {
	return receiver{slopes: slopes, low: 700, high: 2300, delay: 0.045, frame: 0.007, pulse: 0.02, step: 0.5, jitter: 0.5, driftHz: 0.2}
}

// hand moves the sticks: where each is at a time.
type hand func(c int, t float64) float64

// bus is a width as a bus with steps of 0.625 µs carries it.
func bus(w float64) float64 { return 880 + 0.625*math.Round((w-880)/0.625) }

// run lets a receiver work for a number of seconds, into a log.
func (r *receiver) run(l *mix.Log, h hand, from, to float64, rng *rand.Rand) {
	n := len(r.slopes)
	held := make([][]float64, 0, 4096)
	dates := make([]float64, 0, 4096)
	widths := make([]unit.Width, n)
	k, rise := 0, from+0.3
	for t := from; t < to; t += r.frame {
		row := make([]float64, n)
		for c := range n {
			row[c] = bus(h(c, r.air(t)))
			widths[c] = unit.Width(math.Round(row[c] * 1000))
		}
		held, dates = append(held, row), append(dates, t)
		l.Frame(unit.Time(t*1e9), widths)
		for ; rise+0.003 < t; rise += r.pulse {
			for k+1 < len(dates) && dates[k+1] <= rise-r.delay {
				k++
			}
			x := held[k]
			if r.packet > 0 {
				x = make([]float64, n)
				for c := range n {
					x[c] = bus(h(c, r.air(rise-r.delay)))
				}
			}
			l.Pulse(1, unit.Time(rise*1e9), unit.Width(math.Round(1000*r.width(x, rise, rng))))
		}
	}
}

// air is when what is known at a time was sent.
func (r *receiver) air(t float64) float64 {
	if r.packet == 0 {
		return t
	}
	return r.packet * math.Floor(t/r.packet)
}

func (r *receiver) width(x []float64, t float64, rng *rand.Rand) float64 {
	y := 1500 + r.offset + r.drift*math.Sin(2*math.Pi*r.driftHz*t)
	for c, slope := range r.slopes {
		d := x[c] - 1500
		y += slope * math.Copysign(max(0, math.Abs(d)-r.dead/2), d)
	}
	y = max(r.low, min(r.high, y))
	y += r.jitter * rng.NormFloat64()
	if rng.Float64() < r.odd {
		y = 800 + 1400*rng.Float64()
	}
	return r.step * math.Round(y/r.step)
}

// oneByOne moves each stick to both ends and back, each alone, four seconds each,
// over and over, with a hand's uneven pace.
func oneByOne(n int, seed uint64) hand {
	rng := rand.New(rand.NewPCG(seed, 1))
	pace := 0.7 + 0.6*rng.Float64()
	return func(c int, t float64) float64 {
		t *= pace
		if int(t/4)%n != c {
			return 1500
		}
		s := math.Mod(t, 4) / 4
		// Half a throw in about a third of a second, with a stop at each end.
		v := 2.2 * math.Sin(2*math.Pi*s)
		return 1500 + 512*max(-1, min(1, v))
	}
}

// stirring moves all sticks at once, by sums of uneven swings.
func stirring(seed uint64, reach float64) hand {
	rng := rand.New(rand.NewPCG(seed, 2))
	var f, p [16][3]float64
	for c := range f {
		for i := range f[c] {
			f[c][i], p[c][i] = 0.15+0.9*rng.Float64(), 2*math.Pi*rng.Float64()
		}
	}
	return func(c int, t float64) float64 {
		v := 0.0
		for i := range f[c] {
			v += math.Sin(2*math.Pi*f[c][i]*t + p[c][i])
		}
		return 1500 + 512*max(-1, min(1, reach*v/1.7))
	}
}

// sticks are channels as a sheet would give them.
func sticks(n int) []mix.Channel {
	list := make([]mix.Channel, n)
	for i := range list {
		list[i] = mix.Channel{Number: i + 1, Neutral: 1_500_000, Centred: true}
	}
	return list
}

func logOf(n int) *mix.Log {
	l := &mix.Log{}
	l.Begin(sticks(n))
	return l
}
