//go:build !linux && !darwin

package world_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/world"
)

func TestNoPTYsHere(t *testing.T) {
	_, err := world.OpenPTYs(1)
	require.ErrorIs(t, err, world.ErrNoPTY)
}
