package session_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

func TestTheFingerprintIsOfWhatRuns(t *testing.T) {
	path, err := os.Executable()
	require.NoError(t, err)
	program, err := os.ReadFile(path)
	require.NoError(t, err)
	sum := sha256.Sum256(program)
	assert.Equal(t, hex.EncodeToString(sum[:16]), session.Fingerprint())
}
