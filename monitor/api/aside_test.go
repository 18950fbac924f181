package api

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What is made is given, however soon the context of its making ends.
func TestWhatIsMadeAtOnceIsGiven(t *testing.T) {
	a := make(aside, 1)
	for range 20_000 {
		made, err := inTime(t.Context(), a, time.Minute, func(context.Context) (int, error) { return 7, nil })
		require.NoError(t, err)
		require.Equal(t, 7, made)
	}
}
