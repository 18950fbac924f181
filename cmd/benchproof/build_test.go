package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBuildNamesItsSource(t *testing.T) {
	for _, c := range []struct{ name, version, by, want string }{
		{"a tag", "v1.4.0", "go1.26.8", "benchproof v1.4.0 go1.26.8"},
		{"a commit", "v0.0.0-20260502110000-0123456789ab", "go1.26.8", "benchproof v0.0.0-20260502110000-0123456789ab go1.26.8"},
		{"files changed since", "v1.4.0+dirty", "go1.26.8", "benchproof v1.4.0+dirty go1.26.8"},
		{"no stamp", "(devel)", "go1.26.8", "benchproof (unknown commit) go1.26.8"},
		{"no information at all", "", "", "benchproof (unknown commit) (unknown Go)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, buildOf(&debug.BuildInfo{GoVersion: c.by, Main: debug.Module{Version: c.version}}))
		})
	}
}

// What --version prints is what events and recordings carry.
func TestVersionIsTheBuildOfEvents(t *testing.T) {
	code, out, _ := call(t, "--version")
	assert.Equal(t, exitDone, code)
	assert.Equal(t, build()+"\n", out)
}
