package crclog_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
)

func lines(n int) []byte {
	var b []byte
	for i := range n {
		b = crclog.Append(b, fmt.Appendf(nil, `{"n":%04d}`, i))
	}
	return b
}

var lineLen = len(lines(1))

// walk notes what Scan gives: "0 3 !4+2 6" is lines 0 and 3, a stretch of two
// damaged ones, one more line.
func walk(t *testing.T, r io.Reader) (seen string, tail int64) {
	var list []string
	tail, err := crclog.Scan(r, func(offset int64, line []byte, damage error) error {
		var d *crclog.Damage
		if errors.As(damage, &d) {
			require.Nil(t, line)
			require.Equal(t, offset, d.Offset)
			list = append(list, fmt.Sprintf("!%d+%d", d.Offset, d.Lines))
			return nil
		}
		require.NoError(t, damage)
		object, err := crclog.Check(line)
		require.NoError(t, err)
		var n int
		_, err = fmt.Sscanf(string(object), `{"n":%d}`, &n)
		require.NoError(t, err)
		list = append(list, fmt.Sprint(n))
		return nil
	})
	require.NoError(t, err)
	return strings.Join(list, " "), tail
}

func TestScan(t *testing.T) {
	l := lineLen
	hurt := func(at ...int) []byte {
		b := lines(5)
		for _, a := range at {
			b[a] ^= 1
		}
		return b
	}
	for name, c := range map[string]struct {
		file []byte
		seen string
		tail int
	}{
		"empty":                {nil, "", 0},
		"whole":                {lines(3), "0 1 2", 3 * l},
		"damage in the middle": {hurt(2*l + 5), fmt.Sprintf("0 1 !%d+1 3 4", 2*l), 5 * l},
		"two in a row":         {hurt(2*l+5, 3*l+5), fmt.Sprintf("0 1 !%d+2 4", 2*l), 5 * l},
		"two apart":            {hurt(5, 3*l+5), fmt.Sprintf("!0+1 1 2 !%d+1 4", 3*l), 5 * l},
		"a newline lost":       {hurt(2*l - 1), fmt.Sprintf("0 !%d+1 3 4", l), 5 * l},
		"last line hurt":       {hurt(4*l + 5), "0 1 2 3", 4 * l},
		"last newline hurt":    {hurt(5*l - 1), "0 1 2 3", 4 * l},
		"half-written":         {lines(5)[:4*l+9], "0 1 2 3", 4 * l},
		"without newline":      {lines(5)[:5*l-1], "0 1 2 3", 4 * l},
		"zeros":                {append(lines(2), make([]byte, 9000)...), "0 1", 2 * l},
		"zeros, then newlines": {append(lines(2), "\x00\x00\n\n{}\n"...), "0 1", 2 * l},
		"only zeros":           {make([]byte, 100), "", 0},
		"zeros in the middle":  {append(append(lines(2), make([]byte, 100)...), lines(2)...), fmt.Sprintf("0 1 !%d+1 1", 2*l), 4*l + 100},
		"blank line":           {append(append(lines(1), '\n'), lines(1)...), fmt.Sprintf("0 !%d+1 0", l), 2*l + 1},
		"very long line": {append(append(lines(1), strings.Repeat("x", 3*crclog.MaxLine)+"\n"...), lines(1)...),
			fmt.Sprintf("0 !%d+1 0", l), 2*l + 3*crclog.MaxLine + 1},
		"very long, cut off": {append(lines(1), strings.Repeat("x", 3*crclog.MaxLine)...), "0", l},
	} {
		seen, tail := walk(t, bytes.NewReader(c.file))
		assert.Equal(t, c.seen, seen, name)
		assert.Equal(t, int64(c.tail), tail, name)
		if len(c.file) < 20_000 {
			seen, tail = walk(t, iotest.OneByteReader(bytes.NewReader(c.file)))
			assert.Equal(t, c.seen, seen, name)
			assert.Equal(t, int64(c.tail), tail, name)
		}
	}
}

func TestLongestLineIsBelieved(t *testing.T) {
	line := crclog.Append(nil, []byte(`{"x":"`+strings.Repeat("y", crclog.MaxLine-25)+`"}`))
	require.Equal(t, crclog.MaxLine+1, len(line))
	for _, c := range []struct {
		file []byte
		good int
	}{{line, 1}, {append([]byte("x"), line...), 0}} {
		good := 0
		_, err := crclog.Scan(bytes.NewReader(c.file), func(int64, []byte, error) error { good++; return nil })
		require.NoError(t, err)
		assert.Equal(t, c.good, good)
	}
}

func TestScanEndsOnErrors(t *testing.T) {
	stop := errors.New("enough")
	for _, hurt := range []bool{false, true} {
		b := lines(3)
		if hurt {
			b[5] ^= 1
		}
		_, err := crclog.Scan(bytes.NewReader(b), func(int64, []byte, error) error { return stop })
		assert.Equal(t, stop, err)
	}
	trouble := errors.New("input/output error")
	for _, b := range [][]byte{lines(2), bytes.Repeat([]byte("x"), 2*crclog.MaxLine)} {
		_, err := crclog.Scan(io.MultiReader(bytes.NewReader(b), iotest.ErrReader(trouble)), func(int64, []byte, error) error { return nil })
		assert.ErrorIs(t, err, trouble)
	}
}

func TestDamageSays(t *testing.T) {
	b := lines(3)
	b[lineLen+5] ^= 1
	_, err := crclog.Scan(bytes.NewReader(b), func(_ int64, _ []byte, damage error) error { return damage })
	require.ErrorIs(t, err, crclog.ErrWrongChecksum)
	assert.EqualError(t, err, fmt.Sprintf("1 damaged lines (%d bytes) at byte %d: the line does not agree with its crc", lineLen, lineLen))
}

// A gigantic line costs no memory.
func TestScanStaysFlat(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	const size = 64 << 20
	tail, err := crclog.Scan(io.LimitReader(xs{}, size), func(int64, []byte, error) error { return nil })
	runtime.ReadMemStats(&after)
	require.NoError(t, err)
	assert.Zero(t, tail)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(4<<20))
}

type xs struct{}

func (xs) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}

func FuzzScan(f *testing.F) {
	f.Add(lines(3))
	f.Add(lines(3)[:lineLen*2+4])
	f.Add(append(lines(1), "\x00\x00\n{}\n"...))
	f.Fuzz(func(t *testing.T, file []byte) {
		var at, end int64
		tail, err := crclog.Scan(bytes.NewReader(file), func(offset int64, line []byte, damage error) error {
			require.Equal(t, at, offset, "what is given leaves no hole")
			var d *crclog.Damage
			if errors.As(damage, &d) {
				at += d.Length
				return nil
			}
			require.Equal(t, string(line)+"\n", string(file[offset:offset+int64(len(line))+1]))
			_, err := crclog.Check(line)
			require.NoError(t, err)
			at += int64(len(line)) + 1
			end = at
			return nil
		})
		require.NoError(t, err)
		require.Equal(t, end, tail)
	})
}
