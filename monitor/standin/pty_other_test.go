//go:build !linux && !darwin

package standin_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/standin"
)

func TestNoPTYsHere(t *testing.T) {
	_, err := standin.OpenPTYs(1)
	require.ErrorIs(t, err, standin.ErrNoPTY)
}
