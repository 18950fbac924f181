package main

import (
	"io"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// commandsBelow are a command's own and theirs, without those that cobra makes.
func commandsBelow(cmd *cobra.Command) (list []*cobra.Command) {
	for _, c := range cmd.Commands() {
		list = append(append(list, c), commandsBelow(c)...)
	}
	return list
}

// Each command says in one sentence what it wants, what it was given, and an example that
// it takes itself.
func TestEachCommandSaysWhichArgumentsItWants(t *testing.T) {
	list := commandsBelow(newRoot(io.Discard, io.Discard))
	require.Greater(t, len(list), 12)
	for _, cmd := range list {
		t.Run(cmd.CommandPath(), func(t *testing.T) {
			require.NotNil(t, cmd.Args)
			example, ok := strings.CutPrefix(firstExample(cmd), cmd.CommandPath())
			require.True(t, ok, "its first example is of itself: %q", cmd.Example)
			path := strings.Fields(cmd.CommandPath())[1:]
			refused := 0
			for n := range 4 {
				given := strings.Fields("one two three")[:n]
				if cmd.Args(cmd, given) == nil {
					continue
				}
				refused++
				code, out, talk := call(t, append(path, given...)...)
				assert.Equal(t, exitUsage, code)
				assert.Empty(t, out)
				assert.True(t, strings.HasPrefix(talk, "benchproof: "+cmd.CommandPath()+" wants "), talk)
				assert.Contains(t, talk, "; for instance: "+cmd.CommandPath()+example)
				for _, raw := range []string{"arg(s)", "received", "unknown command"} {
					assert.NotContains(t, talk, raw)
				}
				if n == 0 {
					assert.Contains(t, talk, ", got none;")
				} else {
					assert.Contains(t, talk, `got "one"`)
				}
			}
			assert.Positive(t, refused)
		})
	}
}
