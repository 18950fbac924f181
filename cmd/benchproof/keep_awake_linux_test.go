package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tool of systemd runs our command once it holds the lock, or says why it can't.
func TestKeepingAwake(t *testing.T) {
	for name, c := range map[string]struct {
		tool  string // a stand-in for systemd-inhibit; "": there is none
		first string
		then  string // when the tool ends by itself
	}{
		"it holds": {"#!/bin/sh\nfor last; do :; done\nexec \"$last\"\n", "is kept from going to sleep", ""},
		"it refuses": {"#!/bin/sh\necho Access denied >&2\nexit 1\n",
			"is not kept from sleeping, see that it does not: systemd-inhibit: exit status 1 Access denied", ""},
		"it gives up": {"#!/bin/sh\nhead -c 1\n", "is kept from going to sleep", "is not kept from sleeping, see that it does not: systemd-inhibit ended"},
		"no such":     {"", "there is no systemd-inhibit here", ""},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			if c.tool == "" {
				t.Setenv("PATH", dir)
			} else {
				require.NoError(t, os.WriteFile(filepath.Join(dir, "systemd-inhibit"), []byte(c.tool), 0o755))
				t.Setenv("PATH", dir+":"+os.Getenv("PATH"))
			}
			ctx, stop := context.WithCancel(t.Context())
			said, ended := make(chan string, 4), make(chan struct{})
			go func() { keepAwake(ctx, func(err error) { said <- err.Error() }); close(ended) }()
			hear := func(want string) {
				select {
				case got := <-said:
					assert.Contains(t, got, want)
				case <-time.After(20 * time.Second):
					require.Fail(t, "nothing is said")
				}
			}
			hear(c.first)
			if c.then != "" {
				hear(c.then)
			}
			stop()
			<-ended
			assert.Empty(t, said, "an end that was wanted is no news")
		})
	}
}
