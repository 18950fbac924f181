//go:build release

package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
	"github.com/stretchr/testify/require"
)

// TestMakePages writes what a package carries beside the program, into the folders man and
// completions of BENCHPROOF_PAGES: a manual page for each command, and completions. It is
// a test, so that the program does not carry what makes them.
func TestMakePages(t *testing.T) {
	into := os.Getenv("BENCHPROOF_PAGES")
	require.NotEmpty(t, into, "BENCHPROOF_PAGES must name a folder")
	man, completions := filepath.Join(into, "man"), filepath.Join(into, "completions")
	for _, folder := range []string{man, completions} {
		require.NoError(t, os.MkdirAll(folder, 0o755))
	}
	root := newRoot(io.Discard, io.Discard)
	root.DisableAutoGenTag = true // it has today's date
	keepLists(root)
	// The date is that of SOURCE_DATE_EPOCH.
	require.NoError(t, doc.GenManTree(root, &doc.GenManHeader{Section: "1", Source: "benchproof", Manual: "benchproof"}, man))
	require.NoError(t, root.GenBashCompletionFileV2(filepath.Join(completions, "benchproof.bash"), true))
	require.NoError(t, root.GenZshCompletionFile(filepath.Join(completions, "_benchproof")))
	require.NoError(t, root.GenFishCompletionFile(filepath.Join(completions, "benchproof.fish"), true))
	require.NoError(t, root.GenPowerShellCompletionFileWithDesc(filepath.Join(completions, "benchproof.ps1")))
}

// keepLists has the manual pages of a command, and of those below it, leave as they are the
// lines of its help that are set in. The pages are made from Markdown, which would fill
// such lines up; four more blanks make them a block that it leaves alone.
func keepLists(cmd *cobra.Command) {
	cmd.Long = asMarkdown(cmd.Long)
	for _, c := range cmd.Commands() {
		keepLists(c)
	}
}

func asMarkdown(help string) string {
	var lines []string
	before := ""
	for line := range strings.SplitSeq(help, "\n") {
		if strings.HasPrefix(line, "  ") {
			if before != "" && !strings.HasPrefix(before, "  ") {
				lines = append(lines, "")
			}
			line, before = "    "+line, line
		} else {
			before = line
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}
