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
		bus, leads []string
		want       []sheet.Tap
		refused    string
	}{
		"one":           {bus: []string{"/dev/ttyX"}, want: []sheet.Tap{{Name: "main", Kind: "bus"}}},
		"several":       {bus: []string{"a", "b", "left=c"}, want: []sheet.Tap{{Name: "main", Kind: "bus"}, {Name: "bus-2", Kind: "bus"}, {Name: "left", Kind: "bus"}}},
		"leads alone":   {leads: []string{"a"}, want: []sheet.Tap{{Name: "leads", Kind: "pulses"}}},
		"both":          {bus: []string{"r=a"}, leads: []string{"l=b"}, want: []sheet.Tap{{Name: "r", Kind: "bus"}, {Name: "l", Kind: "pulses"}}},
		"none":          {refused: "what to listen to? name the adapter's port with --bus PORT"},
		"no name":       {bus: []string{"a b=c"}, refused: "got --bus a b=c, want NAME=PORT"},
		"a name twice":  {bus: []string{"x=a"}, leads: []string{"x=b"}, refused: "got --leads x=b, want NAME=PORT"},
		"two boards":    {leads: []string{"a", "b"}, refused: "got 2 ports for --leads, want one capture board a model"},
		"text for YAML": {bus: []string{"a: {kind: bus}}\n#=c"}, refused: "want NAME=PORT"},
	} {
		t.Run(name, func(t *testing.T) {
			list, err := listeningTaps(func(flag string) []string { return map[string][]string{"bus": x.bus, "leads": x.leads}[flag] })
			if x.refused != "" {
				assert.ErrorContains(t, err, x.refused)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, x.want, list)
		})
	}
}
