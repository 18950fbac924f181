package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// An entry is written beside the sheet, shown, and said to be out of date once something of a
// later day makes it so.
func TestPapersOfASheet(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("reed.yaml", sheet.Starter(), 0o600))
	code, out, talk := callIn(t.Context(), strings.NewReader(""), "papers", "reed.yaml")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "has no papers yet")
	for _, args := range [][]string{
		{"throws", "ailerons 12 mm up", "--by", "Ann", "--date", "2026-05-02"},
		{"learned", "--by", "Ben", "--date", "2026-05-03"},
	} {
		code, out, talk = callIn(t.Context(), strings.NewReader(""), append([]string{"papers", "set", "reed.yaml"}, args...)...)
		assert.Equal(t, exitDone, code, talk)
		assert.Contains(t, out, "written: "+args[0])
		assert.Contains(t, out, "no session runs")
	}
	_, out, _ = callIn(t.Context(), strings.NewReader(""), "papers", "reed.yaml")
	assert.Contains(t, out, "throws: ailerons 12 mm up, 2026-05-02, by Ann; OUT OF DATE, since learned is dated later")
	text, err := os.ReadFile("reed.papers.yaml")
	require.NoError(t, err)
	p, err := sheet.ReadPapers("reed.papers.yaml", text)
	require.NoError(t, err)
	assert.Len(t, p.Entries, 2)
}

func TestPapersThatAreRefused(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("reed.yaml", sheet.Starter(), 0o600))
	for why, args := range map[string][]string{
		"signed by nobody":     {"papers", "set", "reed.yaml", "bound"},
		"want one of receiver": {"papers", "set", "reed.yaml", "colour", "red", "--by", "Ann"},
		"want a day such as":   {"papers", "set", "reed.yaml", "bound", "--by", "Ann", "--date", "May"},
		"no running session":   {"papers", "set", "reed.yaml", "bound", "--by", "Ann", "--session", "nowhere"},
	} {
		code, _, talk := callIn(t.Context(), strings.NewReader(""), args...)
		assert.Equal(t, exitUsage, code, "%v", args)
		assert.Contains(t, talk, why)
	}
	require.NoError(t, os.WriteFile("reed.papers.yaml", []byte("papers: 1\nmodel: Another\n"), 0o600))
	code, _, talk := callIn(t.Context(), strings.NewReader(""), "papers", "reed.yaml")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `are the papers of "Another"`)
	require.NoError(t, os.WriteFile("reed.papers.yaml", []byte("papers: 1\nmodel: Another\nbond: {}\n"), 0o600))
	_, _, talk = callIn(t.Context(), strings.NewReader(""), "papers", "reed.yaml")
	assert.Contains(t, talk, filepath.Base("reed.papers.yaml")+":3:1")
}
