// Package oscillation finds a slow oscillation in evenly spaced pulse widths: what a stabiliser
// with too much gain makes of an output that nothing commands. It works in whole
// numbers throughout, so that every machine finds the same.
package oscillation

import (
	"math"

	"benchproof.example/monitor/unit"
)

const (
	// Samples is how many widths are looked at: six seconds.
	Samples = 240
	// Interval is how far apart they are.
	Interval = 25 * unit.Millisecond
)

const (
	// slowestBin and fastest are the swings looked for, in steps of a twelfth of a hertz:
	// 0.5 to 10 Hz. A wing of a model swings within that (common practice).
	slowestBin, fastestBin = 6, 120
	// peakHalfWidth is how far a swing's own trace reaches to either side in the spectrum,
	// in those steps: the width of the window function's main lobe.
	peakHalfWidth = 4
	// leastShare is how much of all that moves the swing must be, percent. A step, a drift
	// or a movement by hand spreads over the spectrum; noise does, too.
	leastShare = 60

	stepsPerTurn = 960 // the sines' steps
	one          = 1 << 15
	// leastAttenuation is the least that sampling may leave of a swing to be reckoned back:
	// pulses that come less often than twice a swing show none of it.
	leastAttenuation = one / 4
)

// Oscillation is one that was found.
type Oscillation struct {
	MilliHz   int64
	Amplitude unit.Width // from its middle to its peak, ns
}

// sines are 2^15 times the sine of n/960 turns.
var sines = func() (s [stepsPerTurn]int64) {
	for n := range s {
		s[n] = int64(math.Round(one * math.Sin(2*math.Pi*float64(n)/stepsPerTurn)))
	}
	return s
}()

func sine(n int64) int64   { return sines[n%stepsPerTurn] }
func cosine(n int64) int64 { return sines[(n+stepsPerTurn/4)%stepsPerTurn] }

// Find looks for a swing among widths, ns, that were read off pulses which come each
// period ns (each sample the mean of a Step, straight lines between pulses). False:
// none of at least that amplitude, ns, stands out.
func Find(widths *[Samples]unit.Width, period unit.Duration, least unit.Width) (Oscillation, bool) {
	faded := fade(widths)
	if most(&faded, period) < least { // as of an output that rests: its spectrum need not be made
		return Oscillation{}, false
	}
	var s spectrum
	all := s.of(&faded)
	peak := s.peak()
	if peak == 0 || all == 0 {
		return Oscillation{}, false
	}
	var own int64
	for k := peak - peakHalfWidth; k <= peak+peakHalfWidth; k++ {
		own += s[k] / 4
	}
	// Twice, for the negative frequencies have the other half, over the length of the
	// transform, 480: then it is energy, as all is.
	if own/60 < all/100*leastShare {
		return Oscillation{}, false
	}
	found := s.read(peak, period)
	return found, found.Amplitude >= least
}

// most is more than the amplitude of any swing that read can find in faded widths: a peak is no
// higher than all of them together, and the parabola adds an eighth of it at most.
func most(faded *[Samples]int64, period unit.Duration) unit.Width {
	var sum int64
	for _, y := range faded {
		sum += max(y, -y)
	}
	return unsampled(sum/one*5/4+1, fastestBin, min(period, unit.Second))
}

// spectrum is the squared magnitude at each twelfth of a hertz, ns².
type spectrum [fastestBin + peakHalfWidth + 1]int64

// of transforms faded widths and gives their energy, ns².
func (s *spectrum) of(faded *[Samples]int64) (energy int64) {
	for _, y := range faded {
		energy += (y / one) * (y / one)
	}
	for k := slowestBin - peakHalfWidth; k < len(s); k++ {
		var re, im int64
		phase, step := int64(0), 2*int64(k)
		for _, y := range faded {
			re += y * cosine(phase)
			im += y * sine(phase)
			if phase += step; phase >= stepsPerTurn {
				phase -= stepsPerTurn
			}
		}
		re, im = re/(one*one), im/(one*one)
		s[k] = re*re + im*im
	}
	return energy
}

// fade takes mean and drift off widths and fades the rest in and out, under von Hann's window;
// times 2^15.
func fade(widths *[Samples]unit.Width) (faded [Samples]int64) {
	const squares = Samples * (Samples*Samples - 1) / 3
	var sum, moment int64
	for n, w := range widths {
		sum += int64(w)
		moment += int64(w) * (2*int64(n) - Samples + 1)
	}
	for n, w := range widths {
		t := 2*int64(n) - Samples + 1
		off := int64(w) - sum/Samples - t*moment/squares
		faded[n] = off * (one - cosine(4*int64(n)+2)) / 2
	}
	return faded
}

// peak is the place of the highest peak, 0 for none: what only rises towards slower
// movements has none.
func (s *spectrum) peak() (best int) {
	for k := slowestBin; k <= fastestBin; k++ {
		if s[k] >= s[k-1] && s[k] > s[k+1] && (best == 0 || s[k] > s[best]) {
			best = k
		}
	}
	return best
}

// read reads frequency and amplitude off a peak, between the steps by a parabola.
func (s *spectrum) read(k int, period unit.Duration) Oscillation {
	before, at, behind := squareRoot(s[k-1]), squareRoot(s[k]), squareRoot(s[k+1])
	off := int64(0) // thousandths of a step
	if bend := before - 2*at + behind; bend < 0 {
		off = 500 * (before - behind) / bend
	}
	high := at - (before-behind)*off/4000
	return Oscillation{MilliHz: (1000*int64(k) + off) / 12, Amplitude: unsampled(high, int64(k), period)}
}

// unsampled is the amplitude of a swing at a place of the spectrum, so high there, with what
// sampling took off it: the mean over a step, and the straight lines between pulses.
func unsampled(high, k int64, period unit.Duration) unit.Width {
	mean, lines := sinc(k), max(sinc(max(0, k*int64(period)*40/int64(unit.Second))), leastAttenuation)
	return unit.Width(high / (Samples / 4) * one / mean * one / lines * one / lines)
}

// sinc is 2^15 times sin(x)/x for x of n/960 turns.
func sinc(n int64) int64 {
	if n == 0 {
		return one
	}
	return sine(n) * (stepsPerTurn / 2) * 113 / (355 * n) // 355/113 is pi
}

func squareRoot(n int64) int64 { return int64(math.Sqrt(float64(n))) }
