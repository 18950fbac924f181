package pulse_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
)

// printed is what a board printed, put together line by line: ticks of 500 ns.
type printed struct {
	text []byte
	seq  uint16
}

func (b *printed) info(dropped int64) *printed {
	b.text = pulse.AppendInfo(b.text, &pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8, Dropped: dropped})
	return b
}

func (b *printed) pulse(output int, rise, width uint32) *printed {
	b.text = pulse.AppendPulse(b.text, b.seq, output, rise, width)
	b.seq++
	return b
}

// train is n pulses of two outputs at 50 Hz, from a tick on.
func (b *printed) train(n int, tick uint32) *printed {
	for i := range uint32(n) {
		b.pulse(1, tick+i*40_000, 3000).pulse(2, tick+i*40_000+500, 3200)
	}
	return b
}

func (b *printed) raw(s string) *printed {
	b.text = append(b.text, s...)
	return b
}

// lost is n lines that were numbered and did not arrive.
func (b *printed) lost(n uint16) *printed {
	b.seq += n
	return b
}

func (b *printed) infos(n int) *printed {
	for range n {
		b.info(0)
	}
	return b
}

func started() *printed { return new(printed).info(0) }

// heard feeds bytes in pieces, and holds the account against what came.
func heard(t *testing.T, text []byte, size int) ([]pulse.Pulse, *pulse.BoardDecoder) {
	t.Helper()
	lines := new(pulse.BoardDecoder)
	var got []pulse.Pulse
	for len(text) > 0 {
		n := min(size, len(text))
		lines.Feed(text[:n], false, func(p *pulse.Pulse) { got = append(got, *p) })
		text = text[n:]
	}
	balanced(t, lines)
	require.Equal(t, int64(len(got)), lines.Account().Pulses)
	return got, lines
}

func balanced(t require.TestingT, lines *pulse.BoardDecoder) {
	sum := lines.Account()
	require.Equal(t, sum.In, sum.Taken+sum.RefusedTotal()+int64(lines.Pending()))
}

func micros(us ...int64) (ns []int64) {
	for _, v := range us {
		ns = append(ns, v*1000)
	}
	return ns
}

func widths(got []pulse.Pulse) (ns []int64) {
	for _, p := range got {
		ns = append(ns, p.Width)
	}
	return ns
}

func periods(got []pulse.Pulse) (ns []int64) {
	for _, p := range got {
		ns = append(ns, p.Period)
	}
	return ns
}

// The figures are reckoned by hand: ticks times 500.
func TestLines(t *testing.T) {
	got, lines := heard(t, []byte("$PBPI,ref-8,500,8,0*52\r\n$PBPX,0,1,3E8,BB8*6D\r\n$PBPX,1,2,5DC,C80*60\r\n$PBPX,2,1,A028,BB8*5A\r\n"), 1)
	assert.Equal(t, []pulse.Pulse{
		{Output: 1, Rise: 500_000, Width: 1_500_000, Epoch: 0},
		{Output: 2, Rise: 750_000, Width: 1_600_000, Epoch: 0},
		{Output: 1, Rise: 20_500_000, Width: 1_500_000, Period: 20_000_000, Epoch: 0},
	}, got)
	assert.Equal(t, pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8}, lines.Board)
}

func refused(why pulse.Reason, bytes int64) (r [pulse.Reasons]int64) {
	r[why] = bytes
	return r
}

// A published sentence and its sum (the GGA example that most introductions to NMEA
// 0183 print; from memory).
const sentence = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"

// Each is dirt between two outputs' trains of two pulses, the second of which must
// come through whatever the dirt is.
func TestDirt(t *testing.T) {
	size := func(s string) int64 { return int64(len(s)) }
	line := string(pulse.AppendPulse(nil, 4, 1, 80_000, 3000))
	noise := string(bytes.Repeat([]byte{'$'}, 3)) + "\x00\xFF"
	for _, c := range []struct {
		name, dirt string
		want       [pulse.Reasons]int64
	}{
		{"clean", "", [pulse.Reasons]int64{}},
		{"garbage", "abc\r\n\x01*", refused(pulse.Outside, 7)},
		{"zeros", string(make([]byte, 500)), refused(pulse.Outside, 500)},
		{"ones", string(bytes.Repeat([]byte{0xFF}, 500)), refused(pulse.Outside, 500)},
		{"dollars", noise, refused(pulse.CutOff, size(noise))},
		{"a line cut off", line[:17], refused(pulse.CutOff, 17)},
		{"a line cut off at its end", line[:len(line)-1], refused(pulse.CutOff, size(line)-1)},
		{"a line without its beginning", line[3:], refused(pulse.Outside, size(line)-3)},
		{"a line with one character wrong", line[:9] + "2" + line[10:], refused(pulse.BadSum, size(line))},
		{"a line with one character lacking", line[:9] + line[10:], refused(pulse.BadSum, size(line)-1)},
		{"a sum that is none", line[:len(line)-4] + "G0\r\n", refused(pulse.BadSum, size(line))},
		{"a digit of the sum that is none", "$PBPX,4,1,13880,0bB8*G5\r\n", refused(pulse.BadSum, 25)}, // it is 05
		{"the first digit of the sum wrong", line[:len(line)-4] + "9" + line[len(line)-3:], refused(pulse.BadSum, size(line))},
		{"no star", line[:len(line)-5] + "+" + line[len(line)-4:], refused(pulse.BadSum, size(line))},
		{"no sum", "$PBPX,4,1,13880,BB8\r\n", refused(pulse.BadSum, 21)},
		{"hardly anything", "$\n", refused(pulse.BadSum, 2)},
		{"two line ends", line[:len(line)-1] + "\r\n", refused(pulse.BadSum, size(line)+1)},
		{"too long", "$" + string(make([]byte, 99)) + "\n", refused(pulse.TooLong, 101)},
		{"as long as can be, and no line", "$" + string(make([]byte, 80)) + "\n", refused(pulse.BadSum, 82)},
		{"too long by one", "$" + string(make([]byte, 81)) + "\n", refused(pulse.TooLong, 83)},
		{"too long, and then a line that is not", "$" + string(make([]byte, 99)) + sentence, func() [pulse.Reasons]int64 {
			r := refused(pulse.TooLong, 100)
			r[pulse.Unknown] = size(sentence)
			return r
		}()},
		{"too long, and then noise", "$" + string(make([]byte, 99)) + "\nabc", func() [pulse.Reasons]int64 {
			r := refused(pulse.TooLong, 101)
			r[pulse.Outside] = 3
			return r
		}()},
		{"a sentence of another kind", sentence, refused(pulse.Unknown, size(sentence))},
		{"the same with another sum", sentence[:len(sentence)-4] + "48\r\n", refused(pulse.BadSum, size(sentence))},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := started().train(2, 1000).raw(c.dirt).train(2, 81_000).text
			_, lines := heard(t, text, len(text))
			assert.Equal(t, c.want, lines.Account().Refused)
			for n := range len(text) {
				got, lines := heard(t, text, n+1)
				require.Equal(t, micros(1500, 1600, 1500, 1600, 1500, 1600, 1500, 1600), widths(got))
				require.Equal(t, micros(0, 0, 20000, 20000, 20000, 20000, 20000, 20000), periods(got))
				require.Equal(t, c.want, lines.Account().Refused)
			}
		})
	}
}

// A sentence whose sum is right and whose fields are not.
func TestFields(t *testing.T) {
	for _, text := range []string{
		"PBPX", "PBPX,", "PBPX,0,1,3E8", "PBPX,0,1,3E8,BB8,0", "PBPX,0,1,3E8,", "PBPX,,1,3E8,BB8", "PBPX,0,0,3E8,BB8",
		"PBPX,0,9,3E8,BB8", "PBPX,0,-1,3E8,BB8", "PBPX,10000,1,3E8,BB8", "PBPX,0,1,123456789,BB8", "PBPX,0,1,3G8,BB8", "PBPX,0,1, 3E8,BB8",
		"PBPX,0,A,3E8,BB8", "PBPX,0,9999999999999999999,3E8,BB8",
		"PBPX,0G1,3E8,BB8", "PBPX,0,1G3E8,BB8", "PBPX,0,1,3E8,BB8G", "PBPI,a,500 8,0", "PBPI,a,500,8 0",
		"PBPI", "PBPI,a,500,8", "PBPI,a,500,8,0,0", "PBPI,,500,8,0", "PBPI,a,0,8,0", "PBPI,a,500,0,0", "PBPI,a,500,33,0", "PBPI,a,500,8,-1",
		"PBPI,a b,500,8,0", "PBPI,a_b,500,8,0", "PBPI,abcdefghijklmnopqrstuvwxy,500,8,0", "PBPI,a,1000001,8,0", "PBPI,a,500,8,9999999999999",
		"PBPX,0,,3E8,BB8", "PBPI,a,,8,0", "PBPI,a,500,,0", "PBPI,a,500,8,",
	} {
		t.Run(text, func(t *testing.T) {
			line := summed(text)
			got, lines := heard(t, started().raw(line).text, 1)
			assert.Empty(t, got)
			assert.Equal(t, refused(pulse.Malformed, int64(len(line))), lines.Account().Refused)
			assert.Equal(t, pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8}, lines.Board)
		})
	}
	for _, text := range []string{"PBPX,0,1,3e8,bb8", "PBPX,0000,01,000003E8,00000BB8"} {
		line := summed(text)
		got, _ := heard(t, started().raw(line).text, 1)
		assert.Equal(t, []pulse.Pulse{{Output: 1, Rise: 500_000, Width: 1_500_000}}, got)
		got, _ = heard(t, started().raw(line[:len(line)-2]+"\n").text, 1)
		assert.Len(t, got, 1, "no carriage return")
	}
	got, lines := heard(t, []byte(summed("PBXX,1")), 1)
	assert.Empty(t, got)
	assert.Equal(t, refused(pulse.Unknown, 12), lines.Account().Refused)
}

func summed(text string) string {
	var sum byte
	for _, b := range []byte(text) {
		sum ^= b
	}
	const digits = "0123456789abcdef" // lower case is read, too
	return "$" + text + "*" + string(digits[sum>>4]) + string(digits[sum&15]) + "\r\n"
}

// The largest of everything.
func TestFieldsAtTheirLimits(t *testing.T) {
	got, lines := heard(t, []byte(summed("PBPI,ABCDEFGHIJKLMNOPQRST-789,1000000,32,1099511627776")+summed("PBPX,FFFF,32,FFFFFFFF,1")), 1)
	require.Len(t, got, 1)
	assert.Equal(t, 32, got[0].Output)
	assert.Equal(t, int64(1_000_000), got[0].Width)
	assert.Equal(t, pulse.BoardInfo{Name: "ABCDEFGHIJKLMNOPQRST-789", Tick: 1_000_000, Outputs: 32, Dropped: 1 << 40}, lines.Board)
	assert.Equal(t, int64(2), lines.Account().Lines)
}

// What the numbers and the ticks of lines say.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		text   *printed
		widths []int64 // µs
		period []int64 // µs
		want   pulse.Account
		epochs int // more than at first
	}{
		{"no tick yet", new(printed).train(1, 1000).info(0).train(1, 41_000), micros(1500, 1600), micros(0, 0),
			pulse.Account{Refused: refused(pulse.NoTick, 44)}, 0},
		{"a line was lost", started().train(1, 1000).lost(1).train(2, 81_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Lost: 1}, 0},
		{"numbers go round", (&printed{seq: 0xFFFF}).info(0).train(2, 1000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000), pulse.Account{}, 0},
		{"ticks go round between pulses", started().train(2, 1<<32-30_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000), pulse.Account{}, 0},
		{"ticks go round in a pulse", started().train(2, 1<<32-1000), micros(1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000), pulse.Account{}, 0},
		{"numbers and ticks go round, lines are lost", (&printed{seq: 0xFFFC}).info(0).train(1, 1<<32-60_000).lost(3).train(2, 40_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Lost: 3}, 0},
		{"told in another order", started().pulse(1, 1000, 3000).pulse(2, 980, 3000).pulse(1, 41_000, 3000).pulse(2, 40_980, 3000),
			micros(1500, 1500, 1500, 1500), micros(0, 0, 20_000, 20_000), pulse.Account{}, 0},
		{"the longest period", started().train(1, 1000).train(1, 201_000), micros(1500, 1600, 1500, 1600), micros(0, 0, 100_000, 100_000), pulse.Account{}, 0},
		{"a gap", started().train(1, 1000).train(1, 201_001), micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{}, 0},
		{"no pulse for 50 minutes", started().train(1, 1000).infos(3000).train(1, 1_705_033_704),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{}, 0},
		{"the board drops", started().train(1, 1000).info(7).train(1, 41_000), micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0),
			pulse.Account{Dropped: 7}, 0},
		{"numbers were lost for long", started().train(1, 1000).lost(40_000).raw("x").train(1, 1_000_000_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Lost: 40_000, Refused: refused(pulse.Outside, 1)}, 0},

		{"restarts as the port is opened", running().info(0).train(1, 3_000_000_000).zero().info(0).train(2, 2000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Expected: 1}, 1},
		{"restarts twice as the port is opened", running().info(0).train(1, 3_000_000_000).zero().info(0).train(1, 4000).zero().train(1, 2000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 0, 0), pulse.Account{Expected: 1, Restarts: 1}, 2},
		{"restarts", running().infos(3).train(1, 3_000_000_000).zero().info(0).train(2, 2000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Restarts: 1}, 1},
		{"restarts when its ticks looked as if they went on", running().infos(3).train(1, 4_000_000_000).zero().info(0).train(2, 2000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Restarts: 1}, 1},
		{"restarts soon after it started", started().infos(2).train(2, 1000).zero().info(0).train(2, 2000),
			micros(1500, 1600, 1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 0, 0, 20_000, 20_000), pulse.Account{Restarts: 1}, 1},
		{"restarts, and nothing moves for 10 s", running().infos(3).train(1, 4_000_000_000).zero().infos(10).train(2, 20_000_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000, 20_000), pulse.Account{Restarts: 1}, 1},
		{"restarts, as what it dropped shows", running().info(5).infos(0).info(5).info(5).train(1, 3_000_000_000).zero().info(2).train(1, 3_000_040_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Restarts: 1, Dropped: 2}, 1},
		{"another board", started().infos(2).train(1, 1000).raw(summed("PBPI,other,1000,8,0")).train(1, 41_000),
			micros(1500, 1600, 3000), micros(0, 0, 0), pulse.Account{Restarts: 1, Refused: refused(pulse.TooWide, 23)}, 1},
		{"another name", started().infos(2).train(1, 1000).raw(summed("PBPI,other,500,8,0")).train(1, 41_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Restarts: 1}, 1},
		{"another tick", started().infos(2).pulse(1, 1000, 1500).raw(summed("PBPI,ref-8,1000,8,0")).pulse(1, 41_000, 1500),
			micros(750, 1500), micros(0, 0), pulse.Account{Restarts: 1}, 1},
		{"other outputs", started().infos(2).train(1, 1000).raw(summed("PBPI,ref-8,500,4,0")).train(1, 41_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Restarts: 1}, 1},
		{"the board drops again and again", started().info(7).info(7).info(10).train(1, 1000), micros(1500, 1600), micros(0, 0), pulse.Account{Dropped: 10}, 0},
		{"silences one after the other", started().pulse(1, 1000, 3000).infos(1500).pulse(1, 3_000_001_000, 3000).infos(1500).
			pulse(1, 1_705_033_704, 3000).pulse(1, 1_705_073_704, 3000),
			micros(1500, 1500, 1500, 1500), micros(0, 0, 0, 20_000), pulse.Account{}, 0},
		{"starts, and a line is lost at once", started().train(1, 1000).lost(1).train(1, 41_000), micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0),
			pulse.Account{Lost: 1}, 0},

		{"a line comes twice", started().train(2, 1000).again(1).train(1, 81_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 20_000, 20_000),
			pulse.Account{Refused: refused(pulse.Repeated, 23)}, 0},
		{"lines come twice", running().info(0).train(2, 3_000_000_000).again(3).train(1, 3_000_080_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 20_000, 20_000),
			pulse.Account{Refused: refused(pulse.Repeated, 90)}, 0},
		{"a tick out of nowhere", running().info(0).train(2, 3_000_000_000).pulse(1, 2_000_000_000, 3000).train(1, 3_000_080_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 0, 0),
			pulse.Account{Lost: 1, Refused: refused(pulse.OutOfOrder, 30)}, 0},
		{"ticks from nowhere on", running().info(0).infos(2).train(2, 3_000_000_000).train(2, 2_000_000_000),
			micros(1500, 1600, 1500, 1600, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 0, 0, 20_000),
			pulse.Account{Restarts: 1, Refused: refused(pulse.OutOfOrder, 30)}, 1},

		{"told 5 ms too late", started().pulse(1, 50_000, 3000).pulse(2, 40_000, 3000), micros(1500, 1500), micros(0, 0), pulse.Account{}, 0},
		{"told later than that", running().info(0).pulse(1, 1_000_000_000, 3000).pulse(2, 999_989_999, 3000), micros(1500), micros(0),
			pulse.Account{Refused: refused(pulse.OutOfOrder, 30)}, 0},
		{"a tick near nought out of nowhere", running().info(0).train(2, 1_000_000_000).pulse(1, 2_000_000, 3000).train(1, 1_000_080_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 20_000, 20_000, 0, 0),
			pulse.Account{Lost: 1, Refused: refused(pulse.OutOfOrder, 28)}, 0},
		{"two out of nowhere that do not belong together", running().info(0).train(1, 3_000_000_000).
			pulse(1, 2_000_000_000, 3000).lost(1).pulse(2, 2_000_000_500, 3000).train(1, 3_000_080_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Lost: 3, Refused: refused(pulse.OutOfOrder, 60)}, 0},
		{"two out of nowhere, 3 s apart", running().info(0).train(1, 3_000_000_000).pulse(1, 2_000_000_000, 3000).
			pulse(2, 2_006_000_000, 3000).train(1, 3_000_080_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Lost: 2, Refused: refused(pulse.OutOfOrder, 60)}, 0},
		{"what was doubted is past", running().info(0).train(1, 3_000_000_000).pulse(1, 2_000_000_000, 3000).
			pulse(1, 3_000_080_000, 3000).back(1).pulse(1, 2_000_000_500, 3000),
			micros(1500, 1600, 1500), micros(0, 0, 0), pulse.Account{Lost: 1, Refused: refused(pulse.OutOfOrder, 60)}, 0},
		{"ticks leap by 10 s", running().info(0).train(1, 1_000_000_000).pulse(1, 1_020_000_000, 3000).train(1, 1_000_080_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Lost: 1, Refused: refused(pulse.OutOfOrder, 30)}, 0},
		{"10 s of which only noise is left", running().info(0).train(1, 1_000_000_000).raw("x").pulse(1, 1_020_000_000, 3000).pulse(1, 1_020_040_000, 3000),
			micros(1500, 1600, 1500, 1500), micros(0, 0, 0, 20_000), pulse.Account{Refused: refused(pulse.Outside, 1)}, 0},
		{"ticks leap by 10 s, noise was before", running().info(0).train(1, 1_000_000_000).raw("xx").pulse(1, 1_000_040_000, 3000).pulse(1, 1_020_040_000, 3000),
			micros(1500, 1600, 1500), micros(0, 0, 20_000), pulse.Account{Refused: func() [pulse.Reasons]int64 {
				r := refused(pulse.Outside, 2)
				r[pulse.OutOfOrder] = 30
				return r
			}()}, 0},
		{"a line of 7.5 s ago comes again", running().info(0).pulse(1, 1_000_000_000, 3000).pulse(1, 1_005_000_000, 3000).
			pulse(1, 1_010_000_000, 3000).pulse(1, 1_015_000_000, 3000).back(4).pulse(1, 1_000_000_000, 3000),
			micros(1500, 1500, 1500, 1500), micros(0, 0, 0, 0), pulse.Account{Refused: refused(pulse.OutOfOrder, 30)}, 0},
		{"began anew 1 s ago", running().infos(3).train(1, 1_000_000_000).zero().train(1, 2_000_000),
			micros(1500, 1600, 1500, 1600), micros(0, 0, 0, 0), pulse.Account{Restarts: 1}, 1},
		{"began anew 50 s ago, as the second line shows", running().infos(3).train(1, 1_000_000_000).zero().train(2, 100_000_000),
			micros(1500, 1600, 1600, 1500, 1600), micros(0, 0, 0, 0, 20_000), pulse.Account{Restarts: 1, Refused: refused(pulse.OutOfOrder, 26)}, 1},

		{"narrowest and widest", started().pulse(1, 1000, 600).pulse(2, 1000, 6000), micros(300, 3000), micros(0, 0), pulse.Account{}, 0},
		{"too narrow", started().train(1, 1000).pulse(1, 21_000, 599).train(2, 41_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 20_000, 20_000, 20_000), pulse.Account{Refused: refused(pulse.TooNarrow, 23)}, 0},
		{"too wide", started().train(1, 1000).pulse(1, 41_000, 6001).train(2, 81_000),
			micros(1500, 1600, 1500, 1600, 1500, 1600), micros(0, 0, 0, 40_000, 20_000, 20_000), pulse.Account{Refused: refused(pulse.TooWide, 24)}, 0},
		{"width nought", started().pulse(1, 1000, 0), nil, nil, pulse.Account{Refused: refused(pulse.TooNarrow, 20)}, 0},
		{"width almost once round", started().pulse(1, 1000, 0xFFFFFFFF), nil, nil, pulse.Account{Refused: refused(pulse.TooWide, 27)}, 0},
		{"a hole", started().pulse(1, 1000, 1500).pulse(1, 2699, 1500).pulse(1, 41_000, 3000).pulse(1, 81_000, 3000),
			micros(750, 1500, 1500), micros(0, 0, 20_000), pulse.Account{Refused: refused(pulse.Split, 22)}, 0},
		{"the shortest pause", started().pulse(1, 1000, 1500).pulse(1, 2700, 1500), micros(750, 750), micros(0, 850), pulse.Account{}, 0},
		{"one pulse in another", started().pulse(1, 1000, 3000).pulse(1, 2000, 2000), micros(1500), micros(0), pulse.Account{Refused: refused(pulse.Split, 22)}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, lines := heard(t, c.text.text, 7)
			assert.Equal(t, c.widths, widths(got))
			assert.Equal(t, c.period, periods(got))
			sum := lines.Account()
			assert.Equal(t, c.want.Refused, sum.Refused)
			assert.Equal(t, []int64{c.want.Lost, c.want.Dropped, c.want.Restarts, c.want.Expected}, []int64{sum.Lost, sum.Dropped, sum.Restarts, sum.Expected})
			assert.Equal(t, c.epochs, lines.Epoch)
			for i := 1; i < len(got); i++ {
				assert.GreaterOrEqual(t, got[i].Epoch, got[i-1].Epoch)
			}
			whole, _ := heard(t, c.text.text, len(c.text.text))
			assert.Equal(t, got, whole)
		})
	}
}

// Of the lines that were reported, the last 64 are known again.
func TestLinesThatComeAgainLate(t *testing.T) {
	for back, why := range map[uint16]pulse.Reason{1: pulse.Repeated, 64: pulse.Repeated, 65: pulse.OutOfOrder} {
		got, lines := heard(t, running().info(0).train(40, 1_000_000_000).back(back).pulse(1, 1_000_900_000, 3000).text, 100)
		assert.Len(t, got, 80)
		assert.Equal(t, refused(why, 30), lines.Account().Refused, "%d lines back", back)
	}
}

// running is a board that has reported many pulses already.
func running() *printed { return &printed{seq: 0x4321} }

// zero is the board starting anew.
func (b *printed) zero() *printed {
	b.seq = 0
	return b
}

// back takes the numbers back.
func (b *printed) back(n uint16) *printed {
	b.seq -= n
	return b
}

// again prints the last lines once more.
func (b *printed) again(n int) *printed {
	from := len(b.text)
	for range n {
		from = bytes.LastIndexByte(b.text[:from], '$')
	}
	b.text = append(b.text, b.text[from:]...)
	return b
}

// The clock goes on by whole rounds that nobody heard a pulse in.
func TestLongSilence(t *testing.T) {
	got, _ := heard(t, started().pulse(1, 1000, 3000).infos(3000).pulse(1, 1_705_033_704, 3000).text, 100)
	require.Len(t, got, 2)
	assert.Equal(t, int64(1_705_033_704+1<<32)*500, got[1].Rise) // 3000 s
}

func TestBadCharacters(t *testing.T) {
	text := started().train(2, 1000).text
	whole, _ := heard(t, text, 1)
	for i := range text {
		lines := new(pulse.BoardDecoder)
		var got []pulse.Pulse
		see := func(p *pulse.Pulse) { got = append(got, *p) }
		lines.Feed(text[:i], false, see)
		lines.Feed(text[i:i+1], true, see)
		lines.Feed(text[i+1:], false, see)
		balanced(t, lines)
		sum := lines.Account()
		require.Equal(t, sum.RefusedTotal(), sum.Refused[pulse.Spoilt]+sum.Refused[pulse.NoTick])
		if i < bytes.IndexByte(text, '\n')+1 {
			require.Empty(t, got, "the tick was not told")
			continue
		}
		require.Len(t, got, len(whole)-1)
		for _, p := range got {
			require.Contains(t, micros(1500, 1600), p.Width)
		}
	}
}

func TestPortGoesAway(t *testing.T) {
	lines := new(pulse.BoardDecoder)
	var got []pulse.Pulse
	see := func(p *pulse.Pulse) { got = append(got, *p) }
	text := started().infos(3).train(1, 1000).text
	lines.Feed(text[:len(text)-5], false, see)
	lines.Reset()
	balanced(t, lines)
	assert.Equal(t, refused(pulse.CutOff, 17), lines.Account().Refused)
	lines.Reset()
	lines.Feed(text[len(text)-22:], false, see)
	assert.Len(t, got, 1, "the tick may be another now")
	lines.Feed(text, false, see)
	require.Len(t, got, 3)
	assert.Equal(t, []int{0, 2, 2}, []int{got[0].Epoch, got[1].Epoch, got[2].Epoch})
	assert.Zero(t, lines.Account().Restarts+lines.Account().Expected)
	balanced(t, lines)
}

// Each time the port is opened a restart is expected.
func TestRestartsAsThePortIsOpened(t *testing.T) {
	lines := new(pulse.BoardDecoder)
	for range 2 {
		lines.Feed(running().info(0).train(1, 3_000_000_000).zero().info(0).train(1, 2000).text, false, func(*pulse.Pulse) {})
		lines.Reset()
	}
	assert.Equal(t, []int64{0, 2}, []int64{lines.Account().Restarts, lines.Account().Expected})
}

func TestLinesFromACheckpoint(t *testing.T) {
	text := running().info(0).train(2, 1000).lost(2).train(2, 161_000).zero().info(0).train(3, 500).again(1).raw("$PBPX,??").text
	want, whole := heard(t, text, len(text))
	for i := range text {
		lines := new(pulse.BoardDecoder)
		var got []pulse.Pulse
		see := func(p *pulse.Pulse) { got = append(got, *p) }
		lines.Feed(text[:i], false, see)
		kept, err := json.Marshal(lines)
		require.NoError(t, err)
		lines = new(pulse.BoardDecoder)
		require.NoError(t, json.Unmarshal(kept, lines))
		lines.Feed(text[i:], false, see)
		require.Equal(t, want, got)
		require.Equal(t, whole.Account(), lines.Account())
	}
}

func TestLinesAllocateNothing(t *testing.T) {
	text := started().train(3, 1000).lost(4).train(2, 200_000).again(3).raw(summed("PBPX,1,9,1,1")).raw(sentence).
		raw("noise$PBPX,$PBPX,1*00\r\n\x00").raw(string(bytes.Repeat([]byte{'$', 'x'}, 200))).raw("$"+string(make([]byte, 300))).zero().info(1).train(2, 5).text
	lines := new(pulse.BoardDecoder)
	see := func(*pulse.Pulse) {}
	lines.Feed(text, false, see)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		lines.Feed(text, false, see)
		lines.Feed(text, true, see)
		lines.Reset()
	}))
}

func TestEncodersAllocateNothing(t *testing.T) {
	buf := make([]byte, 0, 100)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		buf = pulse.AppendPulse(buf[:0], 0xFFFF, 32, 0xFFFFFFFF, 0)
		buf = pulse.AppendInfo(buf, &pulse.BoardInfo{Name: "a", Tick: 1, Outputs: 1})
	}))
}

func TestReasonWords(t *testing.T) {
	words := map[string]bool{}
	for r := range pulse.Reason(pulse.Reasons) {
		words[r.String()] = true
	}
	assert.Len(t, words, pulse.Reasons)
	assert.Equal(t, "unknown reason", pulse.Reason(pulse.Reasons).String())
}

func FuzzLines(f *testing.F) {
	f.Add(started().train(2, 1000).text, byte(3))
	f.Add(running().info(0).train(1, 3_000_000_000).zero().info(0).train(2, 2000).again(2).text, byte(1))
	f.Add([]byte(summed("PBPI,a,1,32,0")+summed("PBPX,FFFF,32,FFFFFFFF,FFFFFFFF")+sentence), byte(9))
	f.Add([]byte(summed("PBPI,a,1000000,1,0")+summed("PBPX,0,1,0,1")+summed("PBPX,1,1,80000000,1")), byte(200))
	f.Fuzz(func(t *testing.T, text []byte, size byte) {
		var whole, cut pulse.BoardDecoder
		var want, got []pulse.Pulse
		whole.Feed(text, false, func(p *pulse.Pulse) { want = append(want, *p) })
		for rest := text; len(rest) > 0; {
			n := min(int(size)+1, len(rest))
			cut.Feed(rest[:n], false, func(p *pulse.Pulse) { got = append(got, *p) })
			rest = rest[n:]
		}
		require.Equal(t, want, got)
		require.Equal(t, whole.Account(), cut.Account())
		balanced(t, &whole)
		for _, p := range got {
			require.True(t, p.Width >= 300_000 && p.Width <= 3_000_000 && p.Period >= 0 && p.Period <= 100_000_000, "%+v", p)
		}
		whole.Reset()
		balanced(t, &whole)
	})
}
