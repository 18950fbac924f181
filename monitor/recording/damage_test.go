package recording_test

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// Every bit of every block in the file is flipped in turn. Either the input
// list is the same, or the damage shows as one gap in the place of exactly the
// inputs that it swallowed.
func TestEveryFlippedBitShows(t *testing.T) {
	inputs := slices.DeleteFunc(every(t), func(in event.Input) bool { return len(in.Data) > 1000 })
	cut := 8
	first := write(t, section(0), inputs[:cut])
	later := section(int64(cut))
	later.Base += 3_000_000_000 // so that a lost section header would shift dates
	file := append(bytes.Clone(first), write(t, later, inputs[cut:])...)
	ends := borders(t, section(0), inputs[:cut])
	for _, e := range borders(t, later, inputs[cut:])[1:] {
		ends = append(ends, int64(len(first))+e)
	}
	silent, swallowed := 0, 0
	for bit := range len(file) * 8 {
		hurt := bytes.Clone(file)
		hurt[bit/8] ^= 1 << (bit % 8)
		got, r := read(t, hurt)
		if slices.EqualFunc(inputs, got, same) {
			silent++
			continue
		}
		swallowed++
		if end, torn := r.Tail(); torn {
			require.Equal(t, ends[len(ends)-2], end, "bit %d: only the last block may count as torn", bit)
			require.Equal(t, inputs[:len(inputs)-1], got, "bit %d", bit)
			require.Zero(t, r.DamageCount())
			continue
		}
		require.Equal(t, int64(1), r.DamageCount(), "bit %d", bit)
		requireOneGap(t, inputs, got, bit)
		require.Equal(t, inputs[blockOf(ends, int64(bit/8))], missing(inputs, got), "bit %d: another input than the one hit is missing", bit)
	}
	assert.NotZero(t, silent)
	assert.NotZero(t, swallowed)
}

func same(a, b event.Input) bool {
	return a.At == b.At && a.Tap == b.Tap && a.Kind == b.Kind && bytes.Equal(a.Data, b.Data)
}

// blockOf is the index of the input whose blocks hold the byte.
func blockOf(ends []int64, offset int64) int {
	i, _ := slices.BinarySearch(ends[1:], offset+1)
	return i
}

// requireOneGap wants the inputs with one of them replaced by a gap.
func requireOneGap(t *testing.T, inputs, got []event.Input, bit int) {
	require.Len(t, got, len(inputs), "bit %d", bit)
	at := slices.IndexFunc(got, func(in event.Input) bool { return bytes.Contains(in.Data, []byte("recording damaged")) })
	require.GreaterOrEqual(t, at, 0, "bit %d", bit)
	g := gapOf(t, got[at])
	if at < len(got)-1 {
		require.Equal(t, int64(1), g.Inputs, "bit %d", bit)
	}
	if at > 0 {
		require.Equal(t, inputs[at-1].At, got[at].At, "bit %d", bit)
	}
	for i := range inputs {
		require.True(t, i == at || same(inputs[i], got[i]), "bit %d: input %d came back as %v, want %v", bit, i, got[i], inputs[i])
	}
}

func missing(inputs, got []event.Input) event.Input {
	for i := range inputs {
		if !same(inputs[i], got[i]) {
			return inputs[i]
		}
	}
	return event.Input{}
}

func TestDamageInTheMiddle(t *testing.T) {
	inputs := steady(20)
	file := write(t, section(0), inputs)
	ends := borders(t, section(0), inputs)
	zero := func(from, to int64) func([]byte) []byte {
		return func(b []byte) []byte { clear(b[from:to]); return b }
	}
	noise := func(from, to int64) func([]byte) []byte {
		return func(b []byte) []byte {
			for i := from; i < to; i++ {
				b[i] = byte(bits.RotateLeft32(uint32(i)*2654435761, 7))
			}
			return b
		}
	}
	for name, c := range map[string]struct {
		hurt     func([]byte) []byte
		from, to int // inputs that are gone
		offset   int64
		why      string
	}{
		"zeros over three blocks": {zero(ends[5]+9, ends[7]+40), 5, 8, ends[5], "block lengths differ"},
		"zeros from a border":     {zero(ends[5], ends[6]), 5, 6, ends[5], "impossible block length"},
		"noise":                   {noise(ends[3]+1, ends[9]-1), 3, 9, ends[3], "impossible block length"},
		"whole blocks gone":       {func(b []byte) []byte { return slices.Delete(b, int(ends[4]), int(ends[6])) }, 4, 6, ends[4], "input number jumps"},
		"bytes gone, still even":  {func(b []byte) []byte { return slices.Delete(b, int(ends[4])+8, int(ends[4])+12) }, 4, 5, ends[4], "block lengths differ"},
		"bytes put in":            {func(b []byte) []byte { return slices.Insert(b, int(ends[4])+8, 1, 2, 3, 4) }, 4, 5, ends[4], "block lengths differ"},
		"a block twice":           {func(b []byte) []byte { return slices.Insert(b, int(ends[5]), b[ends[4]:ends[5]]...) }, 5, 5, ends[5], "input number goes back"},
		"foreign block": {func(b []byte) []byte {
			return slices.Insert(b, int(ends[5]), 4, 0, 0, 0, 12, 0, 0, 0, 12, 0, 0, 0)
		}, 5, 5, ends[5], "unknown block type"},
	} {
		got, r := read(t, c.hurt(bytes.Clone(file)))
		want := slices.Clone(inputs[:c.from])
		if c.to > c.from {
			require.Greater(t, len(got), c.from, name)
			assert.Equal(t, int64(c.to-c.from), gapOf(t, got[c.from]).Inputs, name)
			assert.Equal(t, inputs[c.from-1].At, got[c.from].At, name)
			want = append(want, got[c.from])
		}
		assert.Equal(t, append(want, inputs[c.to:]...), got, name)
		assert.Equal(t, []recording.Damage{{Offset: c.offset, Why: c.why}}, r.Damages(), name)
		_, torn := r.Tail()
		assert.False(t, torn, name)
	}
}

// With the descriptions of a section lost, its packets still say their taps.
func TestLostHeads(t *testing.T) {
	inputs := every(t)
	first := write(t, section(0), inputs[:8])
	later := section(8)
	later.Base += 77
	second := write(t, later, inputs[8:])
	head := borders(t, later, inputs[8:])[0]
	section := int(binary.LittleEndian.Uint32(second[4:]))
	for name, from := range map[string][2]int{
		"section header":      {0, section},
		"bench interface":     {section, int(head)},
		"first tap interface": {int(head), int(head) + 8},
	} {
		file := append(bytes.Clone(first), second...)
		clear(file[len(first)+from[0] : len(first)+from[1]])
		got, r := read(t, file)
		assert.Equal(t, inputs, got, name)
		assert.Equal(t, int64(1), r.DamageCount(), name)
	}
	file := append(bytes.Clone(first), second...)
	clear(file[:section])
	got, _ := read(t, file)
	assert.Equal(t, inputs, got, "first section header of the file")

	file = append(bytes.Clone(first), second...)
	clear(file[len(first) : len(first)+int(head)])
	got, _ = read(t, file)
	assert.Equal(t, inputs[:8], got[:8])
	for _, in := range got[9:] {
		assert.Contains(t, inputs[8:], in, "no input with another date or tap")
	}
}

func TestDamageListIsBounded(t *testing.T) {
	inputs := steady(1000)
	file := write(t, section(0), inputs)
	ends := borders(t, section(0), inputs)
	for i := 1; i < 999; i += 2 {
		file[ends[i]+50] ^= 4
	}
	_, r := read(t, file)
	assert.Len(t, r.Damages(), recording.MaxDamages)
	assert.Equal(t, int64(499), r.DamageCount())
}

// Another session's recording behind ours is whole, so it is damage and no torn
// tail: it must not be cut.
func TestTwoRecordingsInOneFile(t *testing.T) {
	one := write(t, section(0), steady(5))
	got, r := read(t, append(bytes.Clone(one), one...))
	require.Len(t, got, 6)
	gapOf(t, got[5])
	assert.Equal(t, []recording.Damage{{Offset: int64(len(one)) + borders(t, section(0), nil)[0] + interfaceLen(t), Why: "date goes back"}}, r.Damages())
	end, torn := r.Tail()
	assert.Equal(t, int64(2*len(one)), end)
	assert.False(t, torn)
}

// Lost descriptions of a section with one tap on another interface than before:
// what the first section taught must not be believed in the second.
func TestLostHeadsTeachAnew(t *testing.T) {
	one := steady(4)
	two := make([]event.Input, 4)
	for i := range two {
		two[i] = event.Input{At: unit.Time(unit.Second), Tap: 2, Kind: event.InputEdges, Data: []byte{byte(i)}}
	}
	for _, moved := range []int64{0, 1_000_000_000} {
		later := section(4)
		later.Base += moved
		first, second := write(t, section(0), one), write(t, later, two)
		head := borders(t, later, two)[0]
		for _, lost := range []int64{4, head} { // the section header; that of the bench interface with it
			if lost == head && moved == 0 {
				continue // nothing is left that distinguishes the sections
			}
			file := append(bytes.Clone(first), second...)
			clear(file[len(first) : len(first)+int(lost)])
			got, r := read(t, file)
			require.Equal(t, slices.Concat(one, two), got, "%d lost, moved %d", lost, moved)
			assert.Greater(t, r.Position().Section, int64(len(first)))
			assert.Equal(t, later.Base, r.Position().Base)
		}
	}
}

// With the description of an interface lost, a reading that begins behind it
// knows no more, and no less, than one that begins at the start.
func TestMarkBehindALostInterface(t *testing.T) {
	inputs := []event.Input{
		{At: 0, Kind: event.InputMark, Data: []byte("a")},
		{At: 0, Tap: 1, Kind: event.InputBytes, Data: []byte("b")},
		{At: 0, Kind: event.InputMark, Data: []byte("c")},
		{At: 0, Tap: 1, Kind: event.InputBytes, Data: []byte("d")},
	}
	ends := borders(t, section(0), inputs)
	file := write(t, section(0), inputs)
	clear(file[ends[1]+40 : ends[2]-8]) // the interface of tap 1, and b
	r := recording.NewReader(bytes.NewReader(file))
	var in event.Input
	for range 3 { // a, the gap, c
		require.NoError(t, r.Next(&in))
	}
	mark := r.Position()
	assert.Equal(t, []int{0}, mark.Taps)
	assert.True(t, mark.Hurt)
	assert.Equal(t, inputs[3:], all(t, r))
	at, err := recording.NewReaderAt(bytes.NewReader(file), mark)
	require.NoError(t, err)
	assert.Equal(t, inputs[3:], all(t, at))
}

// The packet behind a hole is the last of its section: the next section's header
// bears out its number.
func TestHoleBeforeTheLastPacketOfASection(t *testing.T) {
	inputs := steady(8)
	first, ends := write(t, section(0), inputs[:6]), borders(t, section(0), inputs[:6])
	file := slices.Delete(first, int(ends[3]), int(ends[5]))
	got, _ := read(t, append(file, write(t, section(6), inputs[6:])...))
	require.Len(t, got, 7)
	assert.Equal(t, int64(2), gapOf(t, got[3]).Inputs)
	assert.Equal(t, inputs[5:], got[4:])
}

// The heads of a second section are lost, and the first had no interface but the
// bench: only the base in the tap's interface distinguishes the sections.
func TestOnlyTheBaseTells(t *testing.T) {
	one := []event.Input{{Kind: event.InputMark, Data: []byte("a")}}
	two := steady(3)
	later := section(1)
	later.Base += 1_000_000_000
	file := append(write(t, section(0), one), write(t, later, two)...)
	first := borders(t, section(0), one)[1]
	clear(file[first : first+borders(t, later, two)[0]])
	got, _ := read(t, file)
	assert.Equal(t, append(one, two...), got)
}

// interfaceLen is what the description of a tap takes.
func interfaceLen(t *testing.T) int64 {
	one, two := borders(t, section(0), steady(1)), borders(t, section(0), steady(2))
	return (one[1] - one[0]) - (two[2] - two[1])
}
