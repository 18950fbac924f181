package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The simulated hands begin a drill, confirm its cautions and follow its first prompt,
// through the same door as a person.
func TestDemoTilts(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	out := &untilSaid{text: "drill response, 2 of 16", stop: stop}
	code, talk := callTo(ctx, strings.NewReader(""), out, "demo", "--tilt")
	require.Equal(t, exitInterrupted, code, talk)
	for _, want := range []string{"drill response began: 16 prompts, followed by simulated hands",
		"drill response, 1 of 16: put aid to first", "put aid to first: seen", out.text} {
		assert.Contains(t, out.String(), want)
	}
}

func TestDemoCannotTiltWithoutLeads(t *testing.T) {
	code, _, talk := call(t, "demo", "--tilt", "--script", "good", "--for", "30s")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "response")
}
