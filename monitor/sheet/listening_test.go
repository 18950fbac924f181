package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

func TestASheetWithoutChannelsListens(t *testing.T) {
	const head = "sheet: 1\nmodel: x\nchannels: {}\n"
	for _, more := range []string{"", "sticks: 2\n", "scale: {counts: [200, 1800], us: [1000, 2000]}\n", "tolerance: {position: 20 us}\n",
		"percent: {zero: 1500, full: 2012}\n", "taps: {main: {kind: bus}, leads: {kind: pulses}}\n"} {
		s, doubts, err := sheet.ReadNew("listen.yaml", []byte(head+more))
		require.NoError(t, err, more)
		assert.True(t, s.Listens)
		assert.Empty(t, doubts)
	}
	for _, more := range []string{"link: {missed_at_most: \"1 %\"}\n", "soak: {distance: 3 m}\n", "heartbeat: {channel: 8}\n", "gain: {law: in-receiver}\n",
		"failsafe: {flag: absent, within: 1 s}\n", "outputs: {1: {surface: a, moved_by: \"?\"}}\n", "mixes_wanted: []\n"} {
		_, err := sheet.Read("listen.yaml", []byte(head+more))
		assert.ErrorContains(t, err, "in a sheet without channels, by which nothing is judged; channels first, or this section left out, would be right", more)
	}
	s, err := sheet.Read("starter.yaml", sheet.Starter())
	require.NoError(t, err)
	assert.False(t, s.Listens)
}

func TestTheSheetForListening(t *testing.T) {
	taps := []sheet.Tap{
		{Name: "main", Kind: "bus", Carries: "unknown"}, {Name: "on", Kind: "bus", Carries: "unknown"}, {Name: "leads", Kind: "pulses", Carries: "unknown"},
	}
	s, doubts, err := sheet.ReadNew("listen.yaml", sheet.ForListening(taps))
	require.NoError(t, err)
	assert.Empty(t, doubts)
	assert.True(t, s.Listens)
	assert.Equal(t, taps, s.Taps, "a name that YAML would take for a truth value is a name")
	for _, name := range []string{"main", "bus-2", "a_b"} {
		assert.True(t, sheet.IsName(name), name)
	}
	for _, name := range []string{"", "2", "a b", "a: {", "a\nb"} {
		assert.False(t, sheet.IsName(name), name)
	}
}
