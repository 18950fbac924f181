package main

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnAddressOffLoopbackIsDoubted(t *testing.T) {
	for address, doubted := range map[string]bool{
		"127.0.0.1": false, "127.9.9.9": false, "::1": false, "::ffff:127.0.0.1": false,
		"0.0.0.0": true, "::": true, "192.168.1.7": true, "fe80::1": true, "203.0.113.5": true,
	} {
		at := &net.TCPAddr{IP: net.ParseIP(address), Port: 8025}
		open, guarded := reachDoubts(at, false), reachDoubts(at, true)
		if !doubted {
			assert.Empty(t, open, address)
			assert.Empty(t, guarded, address)
			continue
		}
		require.Len(t, open, 1, address)
		assert.Contains(t, open[0], at.String()+" is not this computer alone")
		assert.NotContains(t, open[0], "token")
		assert.Contains(t, guarded[0], "the token, too")
	}
}

func TestATokenThatOthersCanReadIsDoubted(t *testing.T) {
	if runtime.GOOS == "windows" { // whose modes say nothing of other users
		assert.Empty(t, tokenDoubts(t.TempDir()))
		return
	}
	path := filepath.Join(t.TempDir(), "token")
	require.NoError(t, os.WriteFile(path, []byte("0123456789abcdef"), 0o600))
	assert.Empty(t, tokenDoubts(""))
	for mode, doubted := range map[os.FileMode]bool{0o600: false, 0o640: false, 0o400: false, 0o602: false, 0o644: true, 0o604: true, 0o444: true} {
		require.NoError(t, os.Chmod(path, mode))
		if !doubted {
			assert.Empty(t, tokenDoubts(path), mode)
			continue
		}
		require.Len(t, tokenDoubts(path), 1, mode)
		assert.Contains(t, tokenDoubts(path)[0], path)
	}
}
