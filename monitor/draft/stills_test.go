package draft

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
)

// still is one at which channel 1 and channel 2 stand, in µs, and the output gives so many pulses of a width.
type still struct {
	first, second unit.Width
	output        unit.Width
	pulses        int
}

func stillsOf(list []still) (s Stills) {
	for i, x := range list {
		widths := Widths{x.first * 1000, x.second * 1000}
		for range x.pulses {
			s.add(unit.Time(i+1), &widths, x.output*1000)
		}
	}
	return s
}

func TestSlopesFromStillToStill(t *testing.T) {
	for _, c := range []struct {
		name string
		list []still
		ppm  int64
		ok   bool
	}{
		{"there and back", []still{{1500, 1500, 1500, 3}, {1900, 1500, 1300, 3}, {1500, 1500, 1500, 3}}, -500_000, true},
		{"once is too few", []still{{1500, 1500, 1500, 3}, {1900, 1500, 1300, 3}}, 0, false},
		{"another moves along", []still{{1500, 1500, 1500, 3}, {1900, 1541, 1300, 3}, {1500, 1500, 1500, 3}}, 0, false},
		{"another hardly moves", []still{{1500, 1500, 1500, 3}, {1900, 1540, 1300, 3}, {1500, 1500, 1500, 3}}, -500_000, true},
		{"one pulse is none", []still{{1500, 1500, 1500, 3}, {1900, 1500, 1300, 1}, {1500, 1500, 1500, 3}}, 0, false},
		{"too short a way", []still{{1500, 1500, 1500, 3}, {1539, 1500, 1480, 3}, {1500, 1500, 1500, 3}}, 0, false},
		{"they differ", []still{{1500, 1500, 1500, 3}, {1900, 1500, 1300, 3}, {1500, 1500, 1480, 3}, {1100, 1500, 1700, 3}, {1500, 1500, 1540, 3}}, -500_000, false},
	} {
		s := stillsOf(c.list)
		ppm, ok := s.slope(0)
		assert.Equal(t, c.ok, ok, c.name)
		if ok {
			assert.Equal(t, c.ppm, ppm, c.name)
		}
	}
}
