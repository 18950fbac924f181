package timeline_test

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// events renders the lines of events from..to.
const name = "timeline.jsonl"

func events(t *testing.T, from, to unit.Time) []byte {
	var b []byte
	for n := from; n <= to; n++ {
		var err error
		b, err = timeline.Line(b, &event.Event{Seq: int64(n), At: n, From: n, Kind: "mark", About: "session"}, wall)
		require.NoError(t, err)
	}
	return b
}

func TestJournalGoesOn(t *testing.T) {
	d := filestest.New()
	j, found, err := timeline.Open(t.Context(), d, name)
	require.NoError(t, err)
	assert.Equal(t, timeline.Opened{}, found)
	assert.Zero(t, j.LastSeq())
	require.NoError(t, j.Append(nil))
	require.NoError(t, j.Append(events(t, 1, 3)))
	require.NoError(t, j.Append(events(t, 4, 4)))
	assert.Equal(t, int64(4), j.LastSeq())
	require.ErrorContains(t, j.Append(events(t, 4, 4)), "got event 4, want one after 4")
	require.ErrorContains(t, j.Append([]byte(`{"half`)), "want whole lines")
	require.Error(t, j.Append([]byte("{}\n")))
	require.NoError(t, j.Sync())
	require.NoError(t, j.Close())

	want := events(t, 1, 4)
	torn := append(bytes.Clone(want), events(t, 5, 5)[:30]...)
	torn[len(events(t, 1, 1))+20] ^= 1
	d.Put(name, torn)
	j, found, err = timeline.Open(t.Context(), d, name)
	require.NoError(t, err)
	assert.Equal(t, int64(30), found.Cut)
	assert.Len(t, d.Content(found.Aside), 30)
	assert.Equal(t, int64(3), found.Events)
	require.Len(t, found.Damages, 1)
	assert.Contains(t, found.Damages[0], "does not agree with its crc")
	assert.Equal(t, int64(4), j.LastSeq())
	assert.Equal(t, int64(len(want)), j.Good())
	require.NoError(t, j.Append(events(t, 5, 5)))
	require.NoError(t, j.Close())
	assert.Equal(t, []int64{1, 3, 4, 5}, seqs(t, d.Content(name)))
}

func seqs(t *testing.T, journal []byte) []int64 {
	var list []int64
	_, err := timeline.Scan(bytes.NewReader(journal), func(_ int64, e *timeline.Entry, damage error) error {
		if damage == nil {
			list = append(list, e.Seq)
		}
		return nil
	})
	require.NoError(t, err)
	return list
}

func TestNewerJournalIsRefused(t *testing.T) {
	d := filestest.New()
	newer := append(events(t, 1, 1), crclog.Append(nil, []byte(`{"format":2,"seq":2}`))...)
	d.Put(name, newer)
	_, _, err := timeline.Open(t.Context(), d, name)
	require.ErrorIs(t, err, timeline.ErrNewer)
	assert.Equal(t, newer, d.Content(name))
}

var errFull = errors.New("no space left on device")

// small is a file on a disk with little room.
type small struct {
	b    []byte
	room int
}

func (f *small) WriteAt(p []byte, at int64) (int, error) {
	n := min(len(p), max(f.room-int(at), 0))
	f.b = append(f.b[:at], p[:n]...)
	if n < len(p) {
		return n, errFull
	}
	return n, nil
}

func (f *small) Truncate(size int64) error { f.b = f.b[:size]; return nil }
func (f *small) Sync() error               { return nil }
func (f *small) Close() error              { return nil }

func TestJournalOnAFullDisk(t *testing.T) {
	first, second := events(t, 1, 2), events(t, 3, 5)
	for room := len(first); room < len(first)+len(second); room += 3 {
		f := &small{room: room}
		j := timeline.New(crclog.NewLog(f, 0), 0)
		require.NoError(t, j.Append(first))
		require.ErrorIs(t, j.Append(second), errFull)
		require.Equal(t, first, f.b, "no part of the batch is left")
		require.Equal(t, int64(2), j.LastSeq())
		require.Equal(t, int64(len(first)), j.Good())
		f.room = 1 << 20
		require.NoError(t, j.Append(second))
		require.Equal(t, append(bytes.Clone(first), second...), f.b)
		require.Equal(t, int64(5), j.LastSeq())
	}
}

func BenchmarkLine(b *testing.B) {
	e := asked()
	var buf []byte
	b.ReportAllocs()
	for b.Loop() {
		var err error
		if buf, err = timeline.Line(buf[:0], e, wall); err != nil {
			b.Fatal(err)
		}
	}
}
