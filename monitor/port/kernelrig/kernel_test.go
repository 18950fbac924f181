//go:build kernel

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// event is a line of the timeline.
type event struct {
	Seq  int64           `json:"seq"`
	Kind string          `json:"kind"`
	Data json.RawMessage `json:"data"`
}

// guestReport is what the guest reported.
type guestReport struct {
	events   []event
	adapters []struct {
		Serial, Line   string
		Latency        int `json:"latency_ms"`
		Early, Written int
		Lost           int `json:"lost_packets"`
	}
	ports []struct{ Name, Is string }
	talk  string
	exit  int
	ended bool
}

// boot runs the guest to its end and reads its report.
func boot(t *testing.T) *guestReport {
	t.Helper()
	dir := t.TempDir()
	initrd, report := filepath.Join(dir, "initramfs"), filepath.Join(dir, "report")
	require.NoError(t, os.WriteFile(initrd, furnished(t), 0o600))
	ctx, stop := context.WithTimeout(t.Context(), 3*time.Minute)
	defer stop()
	began := time.Now()
	// The guest's time is counted in its instructions, so that a busy host can't
	// make gaps in what it hears.
	console, err := exec.CommandContext(ctx, "qemu-system-x86_64", "-machine", "q35", "-accel", "tcg", "-m", "512",
		"-icount", "shift=2,sleep=off", "-rtc", "clock=vm",
		"-nodefaults", "-display", "none", "-no-reboot", "-serial", "stdio", "-serial", "file:"+report,
		"-kernel", one(t, kernelFolder+"/boot/vmlinuz-*"), "-initrd", initrd, "-append", "console=ttyS0 quiet panic=-1").CombinedOutput()
	require.NoError(t, err, string(console))
	t.Logf("the guest ran for %v", time.Since(began).Round(time.Second))
	text, err := os.ReadFile(report)
	require.NoError(t, err)
	g := read(t, text)
	if t.Failed() || !g.ended {
		t.Log(g.talk)
	}
	require.True(t, g.ended, "the guest did not come to its end:\n%s", console)
	return g
}

func read(t *testing.T, text []byte) *guestReport {
	t.Helper()
	g := &guestReport{exit: -1}
	for line := range bytes.Lines(text) {
		word, value, _ := bytes.Cut(bytes.TrimSpace(line), []byte(" "))
		switch string(word) {
		case "event":
			appendJSON(t, &g.events, value)
		case "adapter":
			appendJSON(t, &g.adapters, value)
		case "port":
			appendJSON(t, &g.ports, value)
		case "exit":
			require.NoError(t, json.Unmarshal(value, &g.exit))
		case "talk":
			g.talk += string(value) + "\n"
		case "end":
			g.ended = true
		default:
			assert.Fail(t, "the guest reports", "%s", line)
		}
	}
	return g
}

func appendJSON[T any](t *testing.T, list *[]T, value []byte) {
	t.Helper()
	var v T
	require.NoError(t, json.Unmarshal(value, &v), string(value))
	*list = append(*list, v)
}

// after is the first event of a kind after another one.
func (g *guestReport) after(t *testing.T, seq int64, kind string) event {
	t.Helper()
	for _, e := range g.events {
		if e.Seq > seq && e.Kind == kind {
			return e
		}
	}
	require.Fail(t, "no "+kind, "after event %d", seq)
	return event{}
}

// systemName is the name that the system's own rules give the adapter.
const systemName = "/dev/serial/by-id/usb-rig_adapter_" + ourSerial + "-if00-port0"

func TestTheKernelsOwnDriver(t *testing.T) {
	g := boot(t)
	for _, e := range g.events {
		t.Logf("%3d %-16s %s", e.Seq, e.Kind, e.Data)
	}

	up := g.after(t, 0, "tap.up")
	locked := g.after(t, up.Seq, "bus.locked")
	damaged := g.after(t, locked.Seq, "wire.damaged")
	down := g.after(t, damaged.Seq, "tap.down")
	back := g.after(t, down.Seq, "tap.up")
	relocked := g.after(t, back.Seq, "bus.locked")
	g.after(t, relocked.Seq, "session.ended")

	assert.Contains(t, string(up.Data), systemName, "opened as a number, it is told by its stable name")
	assert.Contains(t, string(back.Data), systemName)
	assert.JSONEq(t, `{"bad_frames":1,"refused":{},"span_ns":0}`, string(damaged.Data), "a bad character hurts its own frame and no other")
	assert.Contains(t, string(down.Data), systemName)
	assert.Contains(t, string(down.Data), "plug it in again, it is reopened by itself")

	require.Len(t, g.ports, 3)
	assert.Equal(t, stable, g.ports[2].Name)
	assert.NotEqual(t, g.ports[0].Is, g.ports[2].Is, "the adapter came back under another number")

	require.Len(t, g.adapters, 2)
	for _, a := range g.adapters {
		// A terminal echoes from the moment it is opened, and what comes in while
		// the driver is still opening it goes out again before a program can
		// forbid it. So this is reported, not bounded.
		t.Logf("%d characters were echoed while the port was being opened", a.Early)
		assert.Equal(t, ourSerial, a.Serial)
		assert.Equal(t, busLine, a.Line)
		assert.Equal(t, 1, a.Latency)
		assert.Zero(t, a.Written, "it only listens")
	}
	assert.Equal(t, 130, g.exit)
}
