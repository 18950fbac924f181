//go:build outside

package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// stimulus is eight leads at 50 Hz for d, each at a width of its own: what the
// simulated board hears. Edges stand 2.5 ms apart.
func stimulus(t *testing.T, d time.Duration) string {
	type edge struct {
		at   int64
		text string
	}
	var edges []edge
	for at := int64(10_000_000); at < int64(d); at += 20_000_000 {
		for o := range int64(8) {
			rise := at + o*2_400_000
			edges = append(edges, edge{rise, fmt.Sprintf("%d %d 1\n", rise, o+1)}, edge{rise + width(o+1), fmt.Sprintf("%d %d 0\n", rise+width(o+1), o+1)})
		}
	}
	slices.SortFunc(edges, func(a, b edge) int { return int(a.at - b.at) })
	var text strings.Builder
	for _, e := range edges {
		text.WriteString(e.text)
	}
	path := filepath.Join(t.TempDir(), "stimulus")
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	return path
}

func width(output int64) int64 { return 1_000_000 + output*100_000 }

// The reference board's firmware, built here, feeds the daemon through its simulated
// serial line, in real time: every output is heard, at its width, and a replay of
// what was recorded says the same.
func TestTheBoardsFirmwareFeedsTheDaemon(t *testing.T) {
	dir := sockettest.Folder(t)
	out, err := exec.Command("make", "-C", "../../decode/pulse/board", "all", "OUT="+dir).CombinedOutput()
	require.NoError(t, err, "%s", out)
	sheetFile, folder := filepath.Join(dir, "sheet.yaml"), filepath.Join(dir, "s")
	require.NoError(t, os.WriteFile(sheetFile, sheet.Starter(), 0o600))

	ctx, stop := context.WithTimeout(t.Context(), 90*time.Second)
	defer stop()
	sim := exec.CommandContext(ctx, filepath.Join(dir, "board-sim"), "--pty", filepath.Join(dir, "board.elf"), stimulus(t, 60*time.Second))
	talk, err := sim.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, sim.Start())
	defer func() { stop(); _ = sim.Wait() }() // killed
	said := bufio.NewScanner(talk)
	require.True(t, said.Scan(), "the path of its port")
	port := said.Text()

	watching, enough := context.WithCancel(ctx)
	done := make(chan string, 1)
	go func() {
		_, _, told := callIn(watching, strings.NewReader(""), "watch", "--sheet", sheetFile, "--leads", port, "--session", folder)
		done <- told
	}()
	journal := filepath.Join(folder, "timeline.jsonl")
	require.Eventually(t, func() bool {
		text, _ := os.ReadFile(journal)
		return bytes.Count(text, []byte(`"output.paced"`)) == 8
	}, 60*time.Second, 50*time.Millisecond, "every output has its period")
	enough()
	t.Log(<-done)

	recorded, err := os.ReadFile(journal)
	require.NoError(t, err)
	heard := map[string]event.OutputBackData{}
	for line := range bytes.Lines(recorded) {
		var e struct {
			Kind, About string
			Data        json.RawMessage
		}
		require.NoError(t, json.Unmarshal(line, &e))
		assert.NotContains(t, []string{event.BoardLost, event.OutputSilent, event.OutputOdd}, e.Kind, string(line))
		if e.Kind == event.OutputBack {
			var d event.OutputBackData
			require.NoError(t, json.Unmarshal(e.Data, &d))
			heard[e.About] = d
		}
	}
	require.Len(t, heard, 8)
	for o := int64(1); o <= 8; o++ {
		assert.InDelta(t, width(o), int64(heard[fmt.Sprintf("output:%d", o)].WidthNS), 1500, "output %d, a tick and a half on either side", o)
	}
	code, again, _ := call(t, "replay", folder)
	require.Contains(t, []int{exitDone, exitWrong}, code)
	assert.True(t, strings.HasPrefix(again, string(recorded)), "the replay says the same")

	code, pulses, account := call(t, "decode", filepath.Join(folder, "recording.pcapng"), "--as", "pulses")
	require.Equal(t, exitDone, code, account)
	assert.Greater(t, strings.Count(pulses, "\n"), 8*32)
	for r := range pulse.Reason(pulse.Reasons) {
		if r != pulse.NoTick && r != pulse.CutOff && r != pulse.Outside {
			assert.NotContains(t, account, r.String())
		}
	}
}
