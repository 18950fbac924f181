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

func TestTapsWithoutASheet(t *testing.T) {
	for name, x := range map[string]struct {
		buses, boards []string
		want          []sheet.Tap
		refused       string
	}{
		"one": {buses: []string{"/dev/ttyX"}, want: []sheet.Tap{{Name: "main", Kind: "bus"}}},
		"several": {buses: []string{"a", "b", "left=c"},
			want: []sheet.Tap{{Name: "main", Kind: "bus"}, {Name: "bus-2", Kind: "bus"}, {Name: "left", Kind: "bus"}}},
		"leads alone":   {boards: []string{"a"}, want: []sheet.Tap{{Name: "leads", Kind: "pulses"}}},
		"both":          {buses: []string{"r=a"}, boards: []string{"l=b"}, want: []sheet.Tap{{Name: "r", Kind: "bus"}, {Name: "l", Kind: "pulses"}}},
		"none":          {refused: "what to listen to? name the adapter's port with --bus PORT"},
		"no name":       {buses: []string{"a b=c"}, refused: "got --bus a b=c, want NAME=PORT"},
		"a name twice":  {buses: []string{"y=a"}, boards: []string{"y=b"}, refused: "got --leads y=b, want NAME=PORT"},
		"two boards":    {boards: []string{"a", "b"}, refused: "got 2 ports for --leads, want one capture board a model"},
		"text for YAML": {buses: []string{"a: {kind: bus}}\n#=c"}, refused: "want NAME=PORT"},
	} {
		t.Run(name, func(t *testing.T) {
			list, err := listeningTaps(func(flag string) []string { return map[string][]string{"bus": x.buses, "leads": x.boards}[flag] })
			if x.refused != "" {
				assert.ErrorContains(t, err, x.refused)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, x.want, list)
		})
	}
}
