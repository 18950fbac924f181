package protocols_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/protocols"
)

// rows are those of the table and the one that tests have for themselves.
func rows() bus.Table { return append(protocols.All(), bustest.Twelve()) }

func TestEachRow(t *testing.T) {
	for _, p := range rows() {
		t.Run(p.Name, func(t *testing.T) { bustest.Conform(t, p) })
	}
}

func TestTheTable(t *testing.T) {
	table := protocols.All()
	names := table.Names()
	require.NotEmpty(t, names)
	slices.Sort(names)
	assert.Len(t, slices.Compact(names), len(table), "each name once")
	for _, p := range table {
		found, ok := protocols.Find(p.Name)
		require.True(t, ok)
		assert.Equal(t, p.Title, found.Title)
	}
	first, ok := protocols.Find("")
	require.True(t, ok)
	assert.Equal(t, "servo-bus", first.Name)
	_, ok = protocols.Find("no such")
	assert.False(t, ok)
}

// What a caller does to its table is not seen by others.
func TestEachCallerHasItsOwnTable(t *testing.T) {
	protocols.All()[0].Name = "another"
	assert.Equal(t, "servo-bus", protocols.All()[0].Name)
}

func FuzzFramers(f *testing.F) {
	rng := rand.New(rand.NewPCG(1, 2))
	for i, p := range rows() {
		clean := bustest.Frames(rng, p, 6)
		f.Add(uint8(i), clean, uint8(7))
		f.Add(uint8(i), bustest.Spoil(rng, clean, 0.02, 0.02), uint8(1))
		f.Add(uint8(i), bustest.Noise(rng, 200), uint8(30))
	}
	f.Fuzz(func(t *testing.T, row uint8, stream []byte, piece uint8) {
		table := rows()
		bustest.Fuzz(t, table[int(row)%len(table)], stream, int(piece)+1)
	})
}

// BenchmarkFramers compares the rows by what a byte costs.
func BenchmarkFramers(b *testing.B) {
	for _, p := range rows() {
		b.Run(p.Name, func(b *testing.B) {
			stream := bustest.Frames(rand.New(rand.NewPCG(2, 2)), p, 40_000)
			b.SetBytes(int64(len(stream)))
			b.ReportAllocs()
			f := p.NewFramer()
			for b.Loop() {
				f.Feed(stream, 0, false, func(*bus.Found) {})
			}
		})
	}
}
