package tilt_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/num/quat"

	"benchproof.example/decode/tilt"
)

// heard is what came of sentences that were read at once.
type heard struct {
	tilt.Decoder
	attitudes []tilt.Attitude
	statuses  []tilt.Status
}

func (h *heard) feed(data []byte, date int64) {
	h.Feed(data, date, false, func(a *tilt.Attitude, s *tilt.Status) {
		if a != nil {
			h.attitudes = append(h.attitudes, *a)
		} else {
			h.statuses = append(h.statuses, *s)
		}
	})
}

func level(number uint16, micros int64) []byte {
	return tilt.AppendAttitude(nil, number, &tilt.Attitude{Sender: 0x5C1, Time: micros * 1000, Turn: [4]int32{tilt.Scale}, Gyro: true})
}

func TestASentenceComesBack(t *testing.T) {
	want := tilt.Attitude{Sender: 0xFFFF, Turn: [4]int32{-16384, 16384, 16384, -16384}, Gyro: true, Rate: [3]int32{-400_000, 0, 399_999}, Time: 4_000_000_000_000}
	line := tilt.AppendAttitude(nil, 0xFFFF, &want)
	assert.LessOrEqual(t, len(line), 82)
	var h heard
	h.feed(tilt.AppendStatus(nil, &tilt.Status{Sender: 0xFFFF, Name: "phone", Screen: 90}), 0)
	h.feed(line, 1)
	want.Epoch, want.Screen = 1, 90
	assert.Equal(t, []tilt.Attitude{want}, h.attitudes)
	assert.Equal(t, []tilt.Status{{Sender: 0xFFFF, Name: "phone", Screen: 90}}, h.statuses)
	want.Gyro = false
	want.Rate = [3]int32{}
	want.Time += 1000
	h.feed(tilt.AppendAttitude(nil, 0, &want), 2)
	assert.Equal(t, want, h.attitudes[1])
}

// Written by hand: the sums were reckoned apart, by the exclusive or of the characters.
func TestASentenceByHand(t *testing.T) {
	var h heard
	h.feed([]byte("$PBTA,5c1,1,3E8,32768,0,0,0,,,*17\r\n"), 0)
	assert.Equal(t, []tilt.Attitude{{Sender: 0x5C1, Epoch: 1, Time: 1_000_000, Turn: [4]int32{32768}}}, h.attitudes)
}

func TestRefusals(t *testing.T) {
	sum := func(text string) []byte {
		var s byte
		for _, b := range []byte(text) {
			s ^= b
		}
		const digits = "0123456789ABCDEF"
		return []byte("$" + text + "*" + string([]byte{digits[s>>4], digits[s&15]}) + "\r\n")
	}
	good := string(level(2, 2000))
	for name, x := range map[string]struct {
		data []byte
		why  tilt.Reason
	}{
		"between sentences":         {[]byte("hello"), tilt.Outside},
		"a wrong sum":               {[]byte(good[:len(good)-3] + "X\r\n"), tilt.BadSum},
		"cut off":                   {[]byte(good[:20] + "$"), tilt.CutOff},
		"no end":                    {[]byte("$" + string(make([]byte, 100))), tilt.TooLong},
		"another kind":              {sum("PBTQ,1,2"), tilt.Unknown},
		"a field too few":           {sum("PBTA,5C1,2,7D0,32768,0,0,0,1,2"), tilt.Malformed},
		"a field too many":          {sum("PBTA,5C1,2,7D0,32768,0,0,0,1,2,3,4"), tilt.Malformed},
		"half of the rates":         {sum("PBTA,5C1,2,7D0,32768,0,0,0,1,,3"), tilt.Malformed},
		"too fast":                  {sum("PBTA,5C1,2,7D0,32768,0,0,0,400001,2,3"), tilt.Malformed},
		"no turn":                   {sum("PBTA,5C1,2,7D0,3276,0,0,0,1,2,3"), tilt.Malformed},
		"out of range":              {sum("PBTA,5C1,2,7D0,32769,0,0,0,1,2,3"), tilt.Malformed},
		"a screen that is crooked":  {sum("PBTI,5C1,phone,45,R"), tilt.Malformed},
		"another state":             {sum("PBTI,5C1,phone,0,X"), tilt.Malformed},
		"the same number":           {level(1, 3000), tilt.OutOfOrder},
		"a number from before":      {level(0, 3000), tilt.OutOfOrder},
		"a time from before":        {level(2, 999), tilt.OutOfOrder},
		"the same time":             {level(2, 1000), tilt.OutOfOrder},
		"another phone":             {tilt.AppendStatus(nil, &tilt.Status{Sender: 9, Name: "other"}), tilt.Second},
		"another phone's attitudes": {tilt.AppendAttitude(nil, 1, &tilt.Attitude{Sender: 9, Turn: [4]int32{tilt.Scale}}), tilt.Second},
	} {
		t.Run(name, func(t *testing.T) {
			var h heard
			h.feed(level(1, 1000), 0)
			h.feed(x.data, 1)
			assert.Len(t, h.attitudes, 1)
			assert.Positive(t, h.Sum.Refused[x.why], "want %s, got %v", x.why, h.Sum.Refused)
			assert.Equal(t, h.Sum.In, h.Sum.Taken+h.Sum.RefusedTotal()+int64(h.Pending()))
			assert.Equal(t, h.RefusedBytes(), h.Sum.RefusedTotal())
		})
	}
}

// The bytes may come in any pieces.
func TestPieces(t *testing.T) {
	var data []byte
	for i := range 50 {
		data = append(data, level(uint16(i), int64(i)*16_667+1)...)
		if i%7 == 0 {
			data = append(data, "$dirt\r"...)
		}
	}
	var whole heard
	whole.feed(data, 5)
	assert.Len(t, whole.attitudes, 50)
	for size := 1; size < len(data); size += 13 {
		var cut heard
		for at := 0; at < len(data); at += size {
			cut.feed(data[at:min(at+size, len(data))], 5)
		}
		assert.Equal(t, whole.attitudes, cut.attitudes, size)
		assert.Equal(t, whole.Sum, cut.Sum, size)
	}
}

// Time goes round at 2^32 µs, numbers at 2^16; what is lacking is counted.
func TestClockAndNumbersGoRound(t *testing.T) {
	var h heard
	h.feed(level(0xFFFE, 1<<32-500), 0)
	h.feed(level(0xFFFF, 1<<32-100), 1)
	h.feed(level(2, 1<<32+300), 2)
	if assert.Len(t, h.attitudes, 3) {
		assert.Equal(t, int64(800_000), h.attitudes[2].Time-h.attitudes[0].Time)
	}
	assert.Equal(t, int64(2), h.Sum.Lost)
}

// A page that was loaded anew is another sender: it counts once the first is silent, from the start.
func TestAnotherPhone(t *testing.T) {
	other := func(number uint16) []byte {
		return tilt.AppendAttitude(nil, number, &tilt.Attitude{Sender: 7, Time: 5000, Turn: [4]int32{tilt.Scale}})
	}
	var h heard
	h.feed(level(9, 9000), 0)
	h.feed(other(1), 2_999_999_999)
	assert.Len(t, h.attitudes, 1)
	h.feed(other(2), 3_000_000_000)
	if assert.Len(t, h.attitudes, 2) {
		assert.Equal(t, 2, h.attitudes[1].Epoch)
		assert.Equal(t, int64(1), h.Sum.Restarts)
	}
	h.feed(level(10, 10_000), 3_100_000_000)
	assert.Len(t, h.attitudes, 2, "now it is the first that is another one")
}

func TestNothingIsAllocated(t *testing.T) {
	var h tilt.Decoder
	n := 0
	see := func(*tilt.Attitude, *tilt.Status) { n++ }
	number := uint16(0)
	line := make([]byte, 0, 100)
	a := tilt.Attitude{Sender: 1, Turn: [4]int32{tilt.Scale}, Gyro: true}
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		number++
		a.Time += 1_000_000
		line = tilt.AppendAttitude(line[:0], number, &a)
		h.Feed(line, 0, false, see)
		h.Feed([]byte("$junk*00\r\n"), 0, false, see)
	}))
	assert.Equal(t, 1001, n)
}

// What W3C's Device Orientation text says of angles (from memory, with its formula for the quaternion).
func TestAnglesAsW3CHasThem(t *testing.T) {
	flat := up(tilt.FromAngles(90, 0, 0)) // on a table, its top to the west
	assert.Equal(t, [3]int64{0, 0, 1_000_000}, flat)
	assert.Equal(t, [3]int64{0, 1_000_000, 0}, up(tilt.FromAngles(0, 90, 0)), "upright: its top edge up")
	assert.Equal(t, [3]int64{-1_000_000, 0, 0}, up(tilt.FromAngles(0, 0, 90)), "its right edge down")
	assert.InDelta(t, 500_000, up(tilt.FromAngles(200, 30, 0))[1], 60, "the top edge raised by 30°, whatever the heading")
	rng := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		a, b, g := rng.Float64()*360, rng.Float64()*360-180, rng.Float64()*180-90
		sz, cz := math.Sincos(a * math.Pi / 360)
		sx, cx := math.Sincos(b * math.Pi / 360)
		sy, cy := math.Sincos(g * math.Pi / 360)
		got := tilt.FromAngles(a, b, g)
		assert.InDeltaSlice(t, []float64{cx*cy*cz - sx*sy*sz, sx*cy*cz - cx*sy*sz, cx*sy*cz + sx*cy*sz, cx*cy*sz + sx*sy*cz}, got[:], 1e-12)
	}
}

// The worked examples of W3C's Device Orientation text (from memory): what a device's axes point at by the compass, degrees
// from north over east, through a general library of quaternions.
func TestTheExamplesOfW3C(t *testing.T) {
	heading := func(q tilt.Quaternion, axis quat.Number) float64 {
		n := quat.Number{Real: q[0], Imag: q[1], Jmag: q[2], Kmag: q[3]}
		v := quat.Mul(quat.Mul(n, axis), quat.Conj(n)) // x east, y north
		return math.Mod(math.Atan2(v.Imag, v.Jmag)*180/math.Pi+360, 360)
	}
	top, screen := quat.Number{Jmag: 1}, quat.Number{Kmag: 1}
	assert.InDelta(t, 270, heading(tilt.FromAngles(90, 0, 0), top), 1e-9, "flat, its top to the west: 90, 0, 0")
	rng := rand.New(rand.NewPCG(7, 8))
	for facing := 1.0; facing < 360; facing += 17 {
		q := tilt.FromAngles(270-facing, 0, 90) // held upright, its top to the right of who faces there
		assert.InDelta(t, math.Mod(facing+90, 360), heading(q, top), 1e-9)
		assert.InDelta(t, math.Mod(facing+180, 360), heading(q, screen), 1e-9, "its screen looks at who holds it")
		q = tilt.FromAngles(facing, 90, rng.Float64()*180-90)
		assert.InDelta(t, 1_000_000, up(q)[1], 60, "upright, its top up: beta is 90, whatever alpha and gamma are")
		// The heading of its back, by the text's formula.
		a, b, g := rng.Float64()*360, rng.Float64()*360-180, rng.Float64()*180-90
		sa, ca := math.Sincos(a * math.Pi / 180)
		sb := math.Sin(b * math.Pi / 180)
		sg, cg := math.Sincos(g * math.Pi / 180)
		want := math.Mod(math.Atan2(-ca*sg-sa*sb*cg, -sa*sg+ca*sb*cg)*180/math.Pi+360, 360)
		off := math.Abs(heading(tilt.FromAngles(a, b, g), quat.Number{Kmag: -1}) - want)
		assert.InDelta(t, 0, min(off, 360-off), 1e-9)
	}
}

func up(q tilt.Quaternion) [3]int64 { return (&tilt.Attitude{Turn: q.Counts()}).Up() }

// A general library of quaternions turns the vertical as we do.
func TestAgainstALibraryOfQuaternions(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	one := func() tilt.Quaternion {
		return tilt.About(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.Float64()*360)
	}
	number := func(q tilt.Quaternion) quat.Number {
		return quat.Number{Real: q[0], Imag: q[1], Jmag: q[2], Kmag: q[3]}
	}
	for range 500 {
		a, b := one(), one()
		ab, want := a.Then(b), quat.Mul(number(a), number(b))
		assert.InDeltaSlice(t, []float64{want.Real, want.Imag, want.Jmag, want.Kmag}, ab[:], 1e-12)
		vertical := quat.Mul(quat.Mul(quat.Conj(number(a)), quat.Number{Kmag: 1}), number(a))
		got := up(a)
		for i, v := range []float64{vertical.Imag, vertical.Jmag, vertical.Kmag} {
			assert.InDelta(t, v*1e6, got[i], 150, "a component of the quaternion is known to 1 in 32768")
		}
	}
}

func FuzzDecoder(f *testing.F) {
	f.Add(level(1, 1000))
	f.Add([]byte("$PBTI,5C1,phone,0,R*00\r\n$PBTA,"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var h heard
		h.feed(data, 1)
		assert.Equal(t, h.Sum.In, h.Sum.Taken+h.Sum.RefusedTotal()+int64(h.Pending()))
	})
}
