package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/port"
	"benchproof.example/monitor/sheet"
)

func TestOnePortForTwoTaps(t *testing.T) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	_, err = parseTaps(func(string) []string { return []string{"/dev/ttyX"} }, port.BoardSettings, s)
	assert.ErrorContains(t, err, "got the port /dev/ttyX twice, want another one for a capture board")
}

func TestTapsThatAreNotListenedTo(t *testing.T) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	assert.Empty(t, unheard(s, []listened{{name: "main"}, {name: "leads"}}))
	assert.Equal(t, []string{"the sheet's tap leads (a capture board) is not listened to, so what it would show stays open: name its port with --leads"},
		unheard(s, []listened{{name: "main"}}))
}
