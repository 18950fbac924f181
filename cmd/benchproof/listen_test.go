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
		open, guarded := (&listening{}).reachDoubts(at), (&listening{token: "t"}).reachDoubts(at)
		shut := (&listening{token: "t", readToken: true, encrypted: &encryption{}}).reachDoubts(at)
		assert.Empty(t, shut, address)
		if !doubted {
			assert.Empty(t, open, address)
			assert.Empty(t, guarded, address)
			continue
		}
		require.Len(t, open, 1, address)
		assert.Contains(t, open[0], at.String()+" is not this computer alone")
		assert.Contains(t, open[0], "may read the session (--read-token asks for the token), and nothing is encrypted (--tls does that);")
		assert.Contains(t, guarded[0], "the token, too")
		encrypted := (&listening{encrypted: &encryption{}}).reachDoubts(at)
		assert.Contains(t, encrypted[0], "may read the session")
		assert.NotContains(t, encrypted[0], "encrypted")
		read := (&listening{token: "t", readToken: true}).reachDoubts(at)
		assert.NotContains(t, read[0], "may read")
	}
}

func TestATokenThatOthersCanReadIsDoubted(t *testing.T) {
	if runtime.GOOS == "windows" { // whose modes say nothing of other users
		assert.Empty(t, secretDoubts(t.TempDir(), othersReadToken))
		return
	}
	path := filepath.Join(t.TempDir(), "token")
	require.NoError(t, os.WriteFile(path, []byte("0123456789abcdef"), 0o600))
	assert.Empty(t, secretDoubts("", othersReadToken))
	for mode, doubted := range map[os.FileMode]bool{0o600: false, 0o640: false, 0o400: false, 0o602: false, 0o644: true, 0o604: true, 0o444: true} {
		require.NoError(t, os.Chmod(path, mode))
		if !doubted {
			assert.Empty(t, secretDoubts(path, othersReadToken), mode)
			continue
		}
		require.Len(t, secretDoubts(path, othersReadToken), 1, mode)
		assert.Contains(t, secretDoubts(path, othersReadToken)[0], path)
	}
}
