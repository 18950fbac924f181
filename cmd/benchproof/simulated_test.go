package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/sim/world"
)

func noPTYs(int) (*world.PTYs, error) { return nil, fmt.Errorf("here: %w", world.ErrNoPTY) }

func TestASystemWithoutPseudoTerminalsSimulatesInProcess(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var s liveSession
		ends, closePorts, err := s.simulate([]world.Tap{{Name: "main", Kind: world.Bus}}, noPTYs)
		require.NoError(t, err)
		defer closePorts()
		start := time.Now()
		seq := port.NewSequencer(func() int64 { return int64(time.Since(start)) }, 0, 0)
		p := port.Port{Tap: 1, Path: s.taps[0].path, Seq: seq, Open: s.taps[0].open}
		ctx, stop := context.WithTimeout(t.Context(), 3*time.Second)
		defer stop()
		go func() {
			for _, d := range []world.Delivery{
				{Kind: world.Data, Data: []byte("ab")}, {Kind: world.Unplugged}, {Kind: world.Plugged}, {Kind: world.Data, Data: []byte("c")},
			} {
				time.Sleep(500 * time.Millisecond) // of the bubble's clock
				assert.NoError(t, ends[0].Deliver(d))
			}
		}()
		p.Run(ctx)
		seq.Close(event.InputEnd)
		var got []string
		for b, ended := seq.Take(port.Judge); !ended; b, ended = seq.Take(port.Judge) {
			for i := range b.Len() {
				in := b.Input(i)
				got = append(got, in.Kind.String()+" "+string(in.Data))
			}
		}
		require.Len(t, got, 6)
		assert.Equal(t, "bytes ab", got[1])
		assert.Contains(t, got[2], "tap-down the simulated port main went away")
		assert.Contains(t, got[3], "tap-up")
		assert.Equal(t, []string{"bytes c", "end "}, got[4:])
	})
}

func TestAPlugThatIsOutIsNoPort(t *testing.T) {
	p := newPlug()
	require.NoError(t, p.deliver(world.Delivery{Kind: world.Unplugged}))
	_, err := p.open("x")
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, p.deliver(world.Delivery{Kind: world.Plugged}))
	r, err := p.open("x")
	require.NoError(t, err)
	require.NoError(t, r.Close())
	_, err = r.Read(make([]byte, 1))
	require.True(t, errors.Is(err, io.EOF))
}
