package port

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// marked is what marks made of a stream that came in pieces of n bytes: the
// characters, and which were bad.
func marked(t testing.TB, stream []byte, n int) (characters []byte, bad []bool) {
	t.Helper()
	var m marks
	for len(stream) > 0 {
		piece := stream[:min(n, len(stream))]
		stream = stream[len(piece):]
		last := -1
		m.Feed(piece, func(run []byte, b bool) {
			require.NotEmpty(t, run)
			is := 0
			if b {
				is = 1
			}
			require.NotEqual(t, last, is, "runs are as long as they can be")
			last = is
			for _, c := range run {
				characters = append(characters, c)
				bad = append(bad, b)
			}
		})
	}
	return characters, bad
}

func TestMarks(t *testing.T) {
	for name, c := range map[string]struct {
		stream, want string
		bad          []bool
	}{
		"clean":                  {"abc", "abc", []bool{false, false, false}},
		"a literal 0xFF":         {"a\xff\xffb", "a\xffb", []bool{false, false, false}},
		"two literals":           {"\xff\xff\xff\xff", "\xff\xff", []bool{false, false}},
		"bad in the middle":      {"a\xff\x00bc", "abc", []bool{false, true, false}},
		"bad at both ends":       {"\xff\x00ab\xff\x00c", "abc", []bool{true, false, true}},
		"bad ones in a row":      {"\xff\x00a\xff\x00b", "ab", []bool{true, true}},
		"a break":                {"\xff\x00\x00a", "\x00a", []bool{true, false}},
		"a bad 0xFF":             {"\xff\x00\xffa", "\xffa", []bool{true, false}},
		"literal, then zero":     {"\xff\xff\x00", "\xff\x00", []bool{false, false}},
		"no mark a terminal has": {"\xffab", "\xffab", []bool{false, false, false}},
		"cut off in a mark":      {"a\xff\x00", "a", []bool{false}},
	} {
		for n := 1; n <= len(c.stream); n++ {
			got, bad := marked(t, []byte(c.stream), n)
			assert.Equal(t, c.want, string(got), "%s in pieces of %d", name, n)
			assert.Equal(t, c.bad, bad, "%s in pieces of %d", name, n)
		}
	}
}

// mark does what a terminal does (termios(3)).
func mark(stream []byte, c byte, bad bool) []byte {
	switch {
	case bad:
		return append(stream, 0xFF, 0x00, c)
	case c == 0xFF:
		return append(stream, 0xFF, 0xFF)
	}
	return append(stream, c)
}

func TestMarksGiveBackWhatATerminalMarked(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var want, stream []byte
		var wantBad []bool
		for range 60 {
			c := []byte{0x00, 0xFF, 0x0F, byte(random.Uint32())}[random.IntN(4)]
			bad := random.IntN(4) == 0
			want, wantBad = append(want, c), append(wantBad, bad)
			stream = mark(stream, c, bad)
		}
		for _, n := range []int{1, 2, 3, 7, 62, len(stream)} {
			got, bad := marked(t, stream, n)
			require.Equal(t, want, got)
			require.Equal(t, wantBad, bad)
		}
	}
}

func TestAResetForgetsAnIncompleteMark(t *testing.T) {
	var m marks
	never := func([]byte, bool) { t.Fatal("nothing is complete") }
	m.Feed([]byte{0xFF, 0x00}, never)
	m.Reset()
	var got []byte
	m.Feed([]byte("a"), func(run []byte, bad bool) {
		assert.False(t, bad)
		got = append(got, run...)
	})
	assert.Equal(t, "a", string(got))
}

func TestMarksCostNoAllocation(t *testing.T) {
	var m marks
	piece := []byte("\x0fabc\xff\xff\xff\x00d\xff\x00\x00efg")
	count := 0
	emit := func(run []byte, _ bool) { count += len(run) }
	m.Feed(piece, emit)
	assert.Zero(t, testing.AllocsPerRun(100, func() { m.Feed(piece, emit) }))
	assert.Equal(t, 102*10, count)
}

// However a stream is cut, it means the same, and never more characters come out
// than went in.
func FuzzMarks(f *testing.F) {
	f.Add([]byte("a\xff\xffb\xff\x00c\xff\x00\x00"), 2)
	f.Add([]byte("\xff\x00\xff\xffx\xff"), 1)
	f.Add(bytes.Repeat([]byte{0xFF}, 7), 3)
	f.Add(make([]byte, 25), 25)
	f.Fuzz(func(t *testing.T, stream []byte, n int) {
		whole, bad := marked(t, stream, max(1, len(stream)))
		pieces, badInPieces := marked(t, stream, max(1, n))
		require.Equal(t, whole, pieces)
		require.Equal(t, bad, badInPieces)
		require.LessOrEqual(t, len(whole), len(stream))
	})
}
