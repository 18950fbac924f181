package mix_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

const ms = unit.Millisecond

// tape is a log that is fed by hand, a frame each 10 ms.
type tape struct {
	*mix.Log
	at unit.Time
}

func tapeOf(channels int) *tape { return &tape{Log: logOf(channels)} }

// still lets n frames pass in which nothing moves.
func (p *tape) still(n int, widths ...unit.Width) {
	for range n {
		p.at = p.at.Add(10 * ms)
		p.Frame(p.at, widths)
	}
}

// move is a short movement of a channel, with a pulse of an output each 20 ms, and rest
// after it until nothing is under way.
func (p *tape) move(output int, from, to unit.Width) {
	p.still(60, from)
	for i := range 10 {
		p.still(1, from+(to-from)*unit.Width(i+1)/10)
		if i%2 == 0 {
			p.Pulse(output, p.at, 1_500_000)
		}
	}
	p.still(60, to)
}

func TestWhatBeginsAnEpisode(t *testing.T) {
	for _, x := range []struct {
		name string
		do   func(*tape)
		want bool
	}{
		{"nothing moves", func(p *tape) { p.still(30, 1_500_000) }, false},
		{"less than 4 µs", func(p *tape) { p.still(30, 1_500_000); p.still(1, 1_503_999) }, false},
		{"4 µs", func(p *tape) { p.still(30, 1_500_000); p.still(1, 1_504_000) }, true},
		{"4 µs the other way", func(p *tape) { p.still(30, 1_500_000); p.still(1, 1_496_000) }, true},
		{"4 µs little by little", func(p *tape) {
			for i := range unit.Width(9) {
				p.still(5, 1_500_000+500*i)
			}
		}, true},
		{"there and back by 3 µs", func(p *tape) { p.still(30, 1_500_000); p.still(1, 1_503_000); p.still(1, 1_500_000) }, false},
		{"a pause breaks it off", func(p *tape) {
			p.still(30, 1_500_000)
			p.still(1, 1_504_000)
			p.at = p.at.Add(95 * ms)
			p.still(1, 1_504_000)
		}, false},
		{"so does an earlier date", func(p *tape) {
			p.still(30, 1_500_000)
			p.still(1, 1_504_000)
			p.at = p.at.Add(-30 * ms)
			p.still(1, 1_504_000)
		}, false},
		{"a pause that breaks nothing off", func(p *tape) {
			p.still(30, 1_500_000)
			p.still(1, 1_504_000)
			p.at = p.at.Add(90 * ms)
			p.still(1, 1_504_000)
		}, true},
		{"a break", func(p *tape) { p.still(30, 1_500_000); p.still(1, 1_504_000); p.Break() }, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := tapeOf(1)
			x.do(p)
			assert.Equal(t, x.want, p.Opened)
		})
	}
}

// What is on the way when a movement ends is kept for as long as a receiver may be late.
func TestHowLongAnEpisodeLasts(t *testing.T) {
	p := tapeOf(1)
	p.still(30, 1_500_000)
	p.still(1, 1_600_000)
	began := p.at
	p.still(24, 1_600_000)
	assert.True(t, p.Opened, "240 ms")
	assert.Equal(t, began, p.Open.At)
	assert.Empty(t, p.Kept)
	p.Pulse(1, p.at, 1_600_000)
	p.still(1, 1_600_000)
	assert.False(t, p.Opened, "then it is over, and 160 ms after a movement none begins")
	require.Len(t, p.Kept, 1)
	assert.Equal(t, int64(1), p.Count)
	assert.Equal(t, began, p.Kept[0].At)
	assert.Len(t, p.Kept[0].Frames, 3*(25+30), "those in it and those of 160 ms before, of which there are no more than 33")
}

// As long as a receiver may answer what moved last, another episode follows.
func TestAnotherEpisodeFollows(t *testing.T) {
	for frames, want := range map[int]bool{8: false, 9: true} { // until the second movement
		p := tapeOf(1)
		p.still(30, 1_500_000)
		p.still(frames, 1_600_000)
		p.still(25-frames, 1_700_000)
		require.True(t, p.Opened)
		p.still(1, 1_700_000)
		assert.Equal(t, want, p.Opened, "160 ms after the latter, at most: %d frames", frames)
	}
}

// The frames before an episode reach back by the longest delay.
func TestFramesAreThinned(t *testing.T) {
	p := tapeOf(1)
	for range 100 {
		p.at = p.at.Add(2 * ms)
		p.Frame(p.at, []unit.Width{1_500_000})
	}
	assert.Len(t, p.Recent, 2*33)
	for i := 2; i < len(p.Recent); i += 2 {
		assert.Equal(t, 6*ms, unit.Duration(p.Recent[i]-p.Recent[i-2]), "5 ms at least")
	}
	p = tapeOf(1)
	p.Frame(unit.Time(10*ms), []unit.Width{1_500_000})
	p.Frame(unit.Time(15*ms), []unit.Width{1_500_000})
	assert.Len(t, p.Recent, 4, "5 ms are enough")
}

func TestWhichPulsesAreTaken(t *testing.T) {
	for _, x := range []struct {
		name   string
		output int
		rises  []unit.Duration // ms from the episode
		want   int
	}{
		{"one", 1, []unit.Duration{5}, 1},
		{"one with its frame", 1, []unit.Duration{0}, 1},
		{"one before it", 1, []unit.Duration{-1}, 0},
		{"the last", 1, []unit.Duration{240}, 1},
		{"one after it", 1, []unit.Duration{241}, 0},
		{"two 14 ms apart", 1, []unit.Duration{0, 14}, 1},
		{"two 15 ms apart", 1, []unit.Duration{0, 15}, 2},
		{"twelve", 1, []unit.Duration{0, 15, 30, 45, 60, 75, 90, 105, 120, 135, 150, 165, 180, 195}, 12},
		{"of the highest output", 32, []unit.Duration{5}, 1},
		{"of one that is none", 33, []unit.Duration{5}, 0},
		{"of output 0", 0, []unit.Duration{5}, 0},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := tapeOf(1)
			p.still(30, 1_500_000)
			p.Pulse(x.output, p.at, 1_500_000) // nothing moves yet
			p.still(1, 1_600_000)
			p.Pulse(7, p.at, 1_500_000) // another one does not matter
			for _, r := range x.rises {
				p.Pulse(x.output, p.at.Add(r*ms), 1_500_000)
			}
			assert.Len(t, p.Open.Pulses, 1+x.want)
		})
	}
}

// An episode in which no output is heard is not kept.
func TestAnEpisodeWithoutPulses(t *testing.T) {
	p := tapeOf(1)
	p.still(30, 1_500_000)
	p.still(60, 1_600_000)
	assert.False(t, p.Opened)
	assert.Empty(t, p.Kept)
	assert.Zero(t, p.Count)
}

// Of a channel that did not change in an episode only its first width is kept.
func TestWhatIsKeptOfAnEpisode(t *testing.T) {
	p := tapeOf(3)
	p.still(40, 1_500_000, 1_400_000, 1_300_000)
	p.still(1, 1_500_000, 1_450_000, 1_310_000)
	p.Pulse(2, p.at.Add(5*ms), 1_234_000)
	p.still(60, 1_500_000, 1_450_000, 1_310_000)
	require.Len(t, p.Kept, 1)
	e := &p.Kept[0]
	assert.Equal(t, []unit.Width{1_500_000, 1_400_000, 1_300_000}, e.Base)
	assert.Equal(t, []int{1, 2}, e.Moved)
	assert.Len(t, e.Widths, 2*len(e.Frames))
	assert.Equal(t, []byte{2, 0, 0, 0x88, 0x13, 0, 0x50, 0xd4, 0x12}, []byte(e.Pulses), "output 2, 5000 µs, 1234000 ns")
	assert.Equal(t, 1*4+1, e.Key, "the second moved farthest; its middle is where the second quarter ends")
	assert.Equal(t, unit.Width(50_000), p.Moved(1))
	assert.Equal(t, unit.Width(10_000), p.Moved(2))
	assert.Zero(t, p.Moved(0))
	assert.Zero(t, tapeOf(1).Moved(0), "no frame yet")
}

// The oldest goes of what there is most of.
func TestWhatMakesRoom(t *testing.T) {
	p := tapeOf(1)
	p.move(1, 1_000_000, 2_000_000) // the whole range, and about its middle
	p.move(1, 2_000_000, 1_900_000)
	rare := []unit.Time{p.Kept[0].At, p.Kept[1].At}
	for len(p.Kept) < 64 {
		p.move(1, 1_000_000, 1_100_000)
	}
	require.Equal(t, int64(64), p.Count)
	oldest, next := p.Kept[2], p.Kept[3]
	require.Equal(t, oldest.Key, next.Key)
	p.move(1, 2_000_000, 1_900_000)
	assert.Len(t, p.Kept, 64)
	assert.Greater(t, p.Count, int64(64))
	assert.Equal(t, rare, []unit.Time{p.Kept[0].At, p.Kept[1].At})
	for i := range p.Kept {
		assert.NotEqual(t, oldest.At, p.Kept[i].At)
	}
}
