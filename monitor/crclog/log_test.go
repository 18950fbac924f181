package crclog_test

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files/filestest"
)

// faulty is a file on a disk with so much room, which may refuse to be cut.
type faulty struct {
	b     []byte
	room  int
	stuck bool
}

func (f *faulty) WriteAt(p []byte, at int64) (int, error) {
	n := min(len(p), max(f.room-int(at), 0))
	if end := int(at) + n; end > len(f.b) {
		f.b = append(f.b, make([]byte, end-len(f.b))...)
	}
	copy(f.b[at:], p[:n])
	if n < len(p) {
		return n, errDisk
	}
	return n, nil
}

func (f *faulty) Truncate(size int64) error {
	if f.stuck {
		return errDisk
	}
	f.b = f.b[:size]
	return nil
}

func (f *faulty) Sync() error  { return nil }
func (f *faulty) Close() error { return nil }

func TestLogOnAFullDisk(t *testing.T) {
	batch := lines(3)
	for room := range 2 * len(batch) {
		f := &faulty{room: room}
		log := crclog.NewLog(f, 0)
		good := 0
		for range 2 {
			if log.Append(batch) == nil {
				good += len(batch)
			}
			require.Equal(t, int64(good), log.Good())
			require.Len(t, f.b, good, "what the disk took of a batch is cut off")
		}
		f.room = 1 << 20
		require.NoError(t, log.Append(batch))
		seen, tail := walk(t, bytes.NewReader(f.b))
		require.Equal(t, int64(good+len(batch)), tail)
		require.NotContains(t, seen, "!")
	}
}

// Where cutting fails too, nothing is written until it works.
func TestLogOnADyingDisk(t *testing.T) {
	f := &faulty{room: lineLen + 5, stuck: true}
	log := crclog.NewLog(f, 0)
	require.NoError(t, log.Append(lines(1)))
	require.ErrorIs(t, log.Append(lines(3)), errDisk)
	require.Len(t, f.b, lineLen+5)
	f.room = 1 << 20
	require.ErrorContains(t, log.Append(lines(1)), "cut a half-written line at byte")
	require.Len(t, f.b, lineLen+5)
	f.stuck = false
	require.NoError(t, log.Append(lines(1)))
	assert.Equal(t, append(lines(1), lines(1)...), f.b)
}

func TestLogWantsWholeLines(t *testing.T) {
	f := &faulty{room: 100}
	log := crclog.NewLog(f, 0)
	require.NoError(t, log.Append(nil))
	require.ErrorContains(t, log.Append([]byte("{}")), "want whole lines")
	assert.Empty(t, f.b)
}

func TestOpenLog(t *testing.T) {
	d := filestest.New()
	log, cut, aside, err := crclog.OpenLog(d, name)
	require.NoError(t, err)
	assert.Zero(t, cut)
	assert.Empty(t, aside)
	require.NoError(t, log.Append(lines(2)))
	require.NoError(t, log.Sync())
	require.NoError(t, log.Close())
	assert.Equal(t, lines(2), d.PowerCut(rand.New(rand.NewPCG(0, 0))).Content(name), "the name of a new file is safe too")
	d.Put(name, append(d.Content(name), `{"half`...))

	log, cut, aside, err = crclog.OpenLog(d, name)
	require.NoError(t, err)
	assert.Equal(t, int64(6), cut)
	assert.Equal(t, `{"half`, string(d.Content(aside)))
	assert.Equal(t, int64(2*lineLen), log.Good())
	require.NoError(t, log.Append(lines(1)))
	require.NoError(t, log.Close())
	assert.Equal(t, append(lines(2), lines(1)...), d.Content(name))

	d.Before = func(filestest.Call) error { return errDisk }
	_, _, _, err = crclog.OpenLog(d, name)
	require.ErrorIs(t, err, errDisk)
}
