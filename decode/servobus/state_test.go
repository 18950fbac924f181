package servobus_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

func TestFramerGoesOnFromItsState(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	stream := cat(noise(rng, 90), spoil(rng, frames(rng, 60), 0.01, 0.003), still(9), noise(rng, 300), frames(rng, 9))
	var whole servobus.Framer
	want := feed(&whole, stream, 13, 1)
	f := new(servobus.Framer)
	var found []got
	for i := range stream {
		f.Feed(stream[i:i+1], int64(i)*120_000, false, func(x *bus.Found) {
			found = append(found, got{[servobus.FrameLen]byte(x.Raw), x.Offset, x.At, x.Bad})
		})
		state, err := json.Marshal(f)
		require.NoError(t, err)
		f = new(servobus.Framer)
		require.NoError(t, json.Unmarshal(state, f))
	}
	require.Equal(t, want, found)
	require.Equal(t, whole.Account(), f.Account())
}

func TestFramerRefusesAStateThatCannotBe(t *testing.T) {
	for _, s := range []string{`[]`, `{"held":"AAAA","dates":[1]}`, `{"held":"AA==","dates":[1],"bad":[1]}`} {
		require.ErrorContains(t, new(servobus.Framer).UnmarshalJSON([]byte(s)), "state of a framer", s)
	}
}
