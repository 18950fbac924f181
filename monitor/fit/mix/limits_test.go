package mix

import (
	"slices"
	"testing"

	"benchproof.example/monitor/unit"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ramp is n widths, evenly apart.
func ramp(from, step float64, n int) (y []float64) {
	for i := range n {
		y = append(y, from+step*float64(i))
	}
	return y
}

// stand is a width, n times.
func stand(y float64, n int) []float64 { return ramp(y, 0, n) }

func TestLevels(t *testing.T) {
	none := level{}
	at := func(y float64) level { return level{y: y, seen: true} }
	up, down := ramp(1100, 10, 40), ramp(1000, 10, 40) // no four of which stand
	for _, x := range []struct {
		name      string
		y         []float64
		low, high level
	}{
		{"it stands at both ends", slices.Concat(stand(1000, 4), up, stand(1600, 6)), at(1000), at(1600)},
		{"three samples are no level", slices.Concat(stand(1000, 3), up, stand(1600, 4)), none, at(1600)},
		{"five µs high", slices.Concat([]float64{1000, 1000, 1003, 1005}, up), at(1003), none},
		{"higher", slices.Concat([]float64{1000, 1000, 1003, 1005.1}, up), none, none},
		{"five µs high, at the wide end", slices.Concat(down, []float64{1595, 1597, 1600, 1600}), none, at(1597)},
		{"the middle one of them", slices.Concat([]float64{1000, 1000.5, 1001, 1004, 1004.5}, up), at(1001), none},
		{"one in fifty is wrong", slices.Concat([]float64{800}, stand(1000, 4), up, []float64{1500, 1510, 1520, 1530, 1540}), at(1000), none},
		{"two in fifty are wrong", slices.Concat([]float64{800, 810}, stand(1000, 4), up, []float64{1500, 1510, 1520, 1530}), none, none},
		{"one in fifty is wrong, at the wide end", slices.Concat(up, []float64{1500, 1510, 1520, 1530, 1540}, stand(1600, 4), []float64{1800}), none, at(1600)},
		{"one in a hundred stands", slices.Concat(stand(1000, 5), ramp(1100, 2, 495)), at(1000), none},
		{"fewer than one in a hundred", slices.Concat(stand(1000, 4), ramp(1100, 2, 496)), none, none},
		{"ten µs from end to end", slices.Concat(stand(1500, 10), stand(1510, 10)), at(1500), at(1510)},
		{"it trembles", slices.Concat(stand(1500, 10), stand(1509, 10)), none, none},
		{"nothing", nil, none, none},
	} {
		t.Run(x.name, func(t *testing.T) {
			low, high := levels(x.y)
			assert.Equal(t, x.low, low, "low")
			assert.Equal(t, x.high, high, "high")
		})
	}
}

// line is a table of one channel, at rest, a row for each place of it, and the fit
// that makes 1500 of its neutral and a µs of each of its own.
func line(x, y []float64) (*table, *fitted) {
	t := &table{cols: 2, finest: finest}
	for i := range x {
		t.x = append(t.x, 1, x[i])
		t.y, t.slack, t.at = append(t.y, y[i]), append(t.slack, 0), append(t.at, unit.Time(unit.Duration(i)*20*unit.Millisecond))
	}
	t.ends = []int{len(y)}
	return t, &fitted{b: []float64{1500, 1}, sigma: 0.5}
}

// A level is a limit if four samples stand on it that the fit would have beyond, and
// one of them far beyond.
func TestWhenALevelIsALimit(t *testing.T) {
	for _, x := range []struct {
		name         string
		beyond       []float64 // µs, of the samples on the level
		sigma, drift float64
		slack        float64
		want         bool
	}{
		{"four, and one by 12", []float64{6.1, 6.1, 6.1, 12}, 0.5, 0, 0, true},
		{"none by 12", []float64{11, 11, 11, 11.9, 11.9}, 0.5, 0, 0, false},
		{"three", []float64{6, 30, 30, 30}, 0.5, 0, 0, false},
		{"wide samples", []float64{12.1, 12.1, 12.1, 20}, 3, 0, 0, true},
		{"wide samples, not enough", []float64{12, 30, 30, 30}, 3, 0, 0, false},
		{"a drift", []float64{17.1, 17.1, 17.1, 20}, 0.5, 10, 0, true},
		{"a drift, not enough", []float64{17, 30, 30, 30}, 0.5, 10, 0, false},
		{"a movement goes on", []float64{12.1, 12.1, 12.1, 20}, 1, 0, 8, true},
		{"a movement goes on, not enough", []float64{12, 30, 30, 30}, 1, 0, 8, false},
		{"on this side of it", []float64{-30, -30, -30, -30}, 0.5, 0, 0, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			for _, out := range []float64{1, -1} {
				var places, widths []float64
				for _, b := range x.beyond {
					places, widths = append(places, out*(200+b)), append(widths, 1500+out*200)
				}
				d, f := line(append(places, out*300), append(widths, 1500+out*250)) // the last is not on it
				f.sigma, f.drift = x.sigma, x.drift
				for i := range d.slack {
					d.slack[i] = x.slack
				}
				l := level{y: 1500 + out*200, seen: true}
				l.judge(d, f, out)
				assert.Equal(t, x.want, l.limit, "out %v", out)
			}
		})
	}
}

// Rows are chosen by where the channels would take them.
func TestWhatALimitLeavesOut(t *testing.T) {
	low, high := level{y: 1300, seen: true, limit: true}, level{y: 1700, seen: true, limit: true}
	open := level{y: 1700, seen: true}
	for _, x := range []struct {
		name         string
		place, width float64
		sigma, drift float64
		low, high    level
		want         bool
	}{
		{"between them", 0, 1500, 1, 0, low, high, true},
		{"near the wide one", 197.9, 1697.9, 1, 0, low, high, true},
		{"too near", 198.1, 1698.1, 1, 0, low, high, false},
		{"beyond it", 300, 1700, 1, 0, low, high, false},
		{"beyond it, though a wrong pulse says else", 300, 1500, 1, 0, low, high, false},
		{"far from it, though a wrong pulse says else", 0, 1700, 1, 0, low, high, true},
		{"near the narrow one", -197.9, 1302.1, 1, 0, low, high, true},
		{"too near that", -198.1, 1301.9, 1, 0, low, high, false},
		{"near the wide one, with a drift", 191.9, 1691.9, 1, 3, low, high, true},
		{"too near, with a drift", 192.1, 1692.1, 1, 3, low, high, false},
		{"no limit", 300, 1700, 1, 0, level{}, open, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			d, f := line([]float64{x.place}, []float64{x.width})
			f.sigma, f.drift = x.sigma, x.drift
			use := []bool{!x.want}
			assert.True(t, d.choose(use, f, &x.low, &x.high), "changed")
			assert.Equal(t, x.want, use[0])
			assert.False(t, d.choose(use, f, &x.low, &x.high), "changed again")
		})
	}
}

// What is seen of a movement between two levels says what it follows, whether or not
// one of them is a limit. Seen for too short a time, it says nothing; an output that
// jumps is taken to go as far as its channel.
func TestAQuickMovementBetweenTwoLevels(t *testing.T) {
	for _, x := range []struct {
		name    string
		between int
		high    float64 // where it is cut off, µs
		slope   float64 // 0: nothing is said
		limit   bool
	}{
		{"to its end", 12, 2000, 1, false},
		{"to a limit", 12, 1700, 1, true},
		{"to its end, too short", 11, 2000, 0, false},
		{"to a limit, too short", 11, 1700, 0, false},
		{"four samples are too few", 4, 2000, 0, false},
		{"a jump", 3, 2000, 1, false},
		{"no sample between", 0, 2000, 1, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			for _, out := range []float64{1, -1} {
				place := slices.Concat(stand(-500*out, 40), ramp(-450*out, 50*out, x.between), stand(500*out, 40))
				var width []float64
				for i, p := range place {
					width = append(width, 1500+out*min(x.high-1500, out*p)+0.3*float64(i%3-1))
				}
				d, _ := line(place, width)
				d.ends = []int{20, len(place) - 20, len(place)}
				f, use, low, high := d.unlimited()
				assert.True(t, low.seen && high.seen)
				if x.slope == 0 {
					assert.Nil(t, f)
					continue
				}
				require.NotNil(t, f)
				assert.InDelta(t, x.slope, f.b[1], 0.005)
				assert.InDelta(t, 1500, f.b[0], 2)
				assert.Equal(t, x.limit && out > 0, high.limit, "wide")
				assert.Equal(t, x.limit && out < 0, low.limit, "narrow")
				assert.True(t, use[0], "what stands at the one end is in use")
				assert.Equal(t, !x.limit, use[len(use)-1], "so is what stands at the other")
			}
		})
	}
}

// beside is a table of a throttle and a rudder, µs from neutral, a row for each, and the
// fit that makes so much of each.
func beside(throttle, rudder, y []float64, slopes [2]float64) (*table, *fitted) {
	t := &table{cols: 3, finest: finest}
	for i := range y {
		t.x = append(t.x, 1, throttle[i], rudder[i])
		t.y, t.slack, t.at = append(t.y, y[i]), append(t.slack, 0), append(t.at, unit.Time(unit.Duration(i)*20*unit.Millisecond))
	}
	t.ends = []int{len(y)}
	return t, &fitted{b: []float64{1500, slopes[0], slopes[1]}, sigma: 0.5}
}

// A level that the output stands on while a throttle is at its end, and no other time, is
// the throttle's, if the fit has the rudder go on beyond it. Four of five times will do.
func TestTheLevelOfAChannelsOwnEnd(t *testing.T) {
	const onIt, off = 1000, 1200 // µs: the level, and beside it
	for _, x := range []struct {
		name             string
		throttle, rudder []float64
		y                []float64
		slopes           [2]float64
		drift            float64
		noLimit          bool
		want             bool
	}{
		{name: "a throttle at its lowest", want: true,
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "at its highest", want: true,
			throttle: slices.Concat(stand(500, 10), stand(0, 10)), rudder: ramp(0, 10, 20), y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "no limit",
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}, noLimit: true},
		{name: "a throttle that hardly moved",
			throttle: slices.Concat(stand(-99, 10), stand(0, 10)), rudder: ramp(0, 10, 20), y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "four of five times that the output is there", want: true,
			throttle: slices.Concat(stand(-500, 8), stand(-200, 2), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "three of four times that the output is there",
			throttle: slices.Concat(stand(-500, 9), stand(-200, 3), stand(0, 8)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 12), stand(off, 8)), slopes: [2]float64{1, 1}},
		{name: "four of five times that it is at its end", want: true,
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20), y: slices.Concat(stand(onIt, 8), stand(off, 12)), slopes: [2]float64{1, 1}},
		{name: "often at its end when the output is elsewhere",
			throttle: slices.Concat(stand(-500, 12), stand(0, 8)), rudder: ramp(0, 10, 20), y: slices.Concat(stand(onIt, 9), stand(off, 11)), slopes: [2]float64{1, 1}},
		{name: "the rudder stands",
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: stand(0, 20), y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "the rudder stands, and it is the throttle that goes on",
			throttle: slices.Concat(stand(-500, 9), stand(-200, 1), stand(0, 10)), rudder: stand(0, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 1}},
		{name: "the rudder does 12 µs to it", want: true,
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, -0.134}},
		{name: "and less",
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, -0.133}},
		{name: "12 µs are little where the output drifts",
			throttle: slices.Concat(stand(-500, 10), stand(0, 10)), rudder: ramp(0, 10, 20),
			y: slices.Concat(stand(onIt, 10), stand(off, 10)), slopes: [2]float64{1, 0.134}, drift: 1},
	} {
		t.Run(x.name, func(t *testing.T) {
			d, f := beside(x.throttle, x.rudder, x.y, x.slopes)
			f.drift = x.drift
			assert.Equal(t, x.want, d.owned(&level{y: onIt, seen: true, limit: !x.noLimit}, f))
		})
	}
}

// A rudder in step with a throttle that then stands at its lowest: whichever of the two
// moves the output, it is not known, so nothing is said. Where the rudder was seen alone
// as well, it is.
func TestWhatTheLevelOfAnEndLeavesOpen(t *testing.T) {
	inStep := func(rudderAlone []float64) (*table, *fitted) {
		throttle := slices.Concat(ramp(500, -25, 40), stand(-500, 20), stand(0, len(rudderAlone)))
		rudder := slices.Concat(ramp(250, -12.5, 40), ramp(-250, -12.5, 20), rudderAlone)
		var y []float64
		for i, x := range throttle {
			y = append(y, 1500+x+0.3*float64(i%3-1))
		}
		return beside(throttle, rudder, y, [2]float64{})
	}
	d, _ := inStep(nil)
	f, use, low, _ := d.unlimited()
	assert.Nil(t, f)
	assert.Nil(t, use)
	assert.True(t, low.limit)

	d, _ = inStep(slices.Concat(ramp(-500, 25, 40), stand(0, 10)))
	f, _, low, _ = d.unlimited()
	require.NotNil(t, f)
	assert.False(t, low.limit)
	assert.InDelta(t, 1, f.b[1], 0.01)
	assert.InDelta(t, 0, f.b[2], 0.01)
}
