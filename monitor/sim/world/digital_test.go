package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/sim/simtest"
)

// The digital channels are bits of byte 23, also as presets and in a wrong frame, and
// no other flag.
func TestDigitalChannels(t *testing.T) {
	const switches = `channel 17 gear 988
place gear up 988
place gear down 2012
channel 18 lamp 2012
place lamp off 988
place lamp on 2012
receiver main preset
preset main gear down
`
	h := simtest.Run(t, switches+"hands steady\n0s signal on\n1s gear down\n2s lamp off\n3s gear up\n"+
		"4s garble main 1 frames gear 2012\n5s garble main 1 frames flags lost\n6s signal off\n9s end", 1)
	for _, x := range []struct {
		at         int64
		gear, lamp bool
	}{{900, false, true}, {1900, true, true}, {2900, true, false}, {3900, false, false}, {8900, true, false}} {
		f := simtest.Last(t, h.Frames(t, 0), x.at*ms)
		assert.Equal(t, x.gear, f.Digital(0), "%d ms", x.at)
		assert.Equal(t, x.lamp, f.Digital(1), "%d ms", x.at)
	}
	wrong := simtest.Between(h.Frames(t, 0), 4*second, 4*second+8*ms)[0]
	assert.True(t, wrong.Digital(0))
	assert.False(t, wrong.Lost())
	flagged := simtest.Between(h.Frames(t, 0), 5*second, 5*second+8*ms)[0]
	assert.False(t, flagged.Digital(0))
	assert.True(t, flagged.Lost())
	assert.Len(t, h.When("flags", "main", "none"), 2, "when the link is up, and behind the wrong flag: a digital channel is none")
}

// A trim is added to what is sent, at the stops too, until it is put back.
func TestTrim(t *testing.T) {
	h := simtest.Run(t, "channel 1 aileron 1500\nreceiver main hold\nhands steady\n0s signal on\n1s trim aileron -24\n"+
		"2s stick aileron 2012 over 100ms\n3s trim aileron 0\n4s end", 1)
	for at, want := range map[int64]int64{900: 1500, 1900: 1476, 2900: 1988, 3900: 2012} {
		assert.Equal(t, simtest.Count(want), simtest.Last(t, h.Frames(t, 0), at*ms).Counts[0], "%d ms", at)
	}
}
