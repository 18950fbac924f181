package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestUntested(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           []string
	}{
		{"nothing but a mode", "sticks: 2", "sticks: 2",
			[]string{"what the surfaces do in hold-course when the model is tilted: does is left out"}},
		{"no heartbeat", "heartbeat: {channel: 16}", "",
			[]string{"what the surfaces do in hold-course when the model is tilted: does is left out",
				"a link that holds its last values while nothing moves: there is no heartbeat"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, read(t, changed(t, c.old, c.new)).Untested())
		})
	}
	bare := "sheet: 1\nmodel: M\nchannels: {1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}}}\n"
	assert.Equal(t, []string{
		"where aileron rests: no neutral is named",
		"the gain: there is no gain section",
		"the modes: there is no stabiliser section",
		"everything behind the bus, what the stabiliser does among it: no tap listens to the servo leads",
		"what happens without a signal: there is no failsafe section",
		"a link that holds its last values while nothing moves: there is no heartbeat",
		"how many frames are missed: there is no link section",
	}, read(t, bare).Untested())
}
