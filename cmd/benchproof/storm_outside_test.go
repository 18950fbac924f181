//go:build outside && linux

package main

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
)

// storm asks for everything, sixty-four at a time, for some seconds, and prints how often it was answered and
// refused. It is a process of its own, with the least share of the processor: a storm comes from other
// computers, and the bench of this test must keep its time.
const storm = `
import http.client, sys, threading, time
address, until = sys.argv[1], time.time() + float(sys.argv[2])
paths = ["/metrics", "/api/state", "/metrics", "/api/claims", "/api/timeline?limit=100"]
answers = []
def ask(n):
    while time.time() < until:
        try:
            c = http.client.HTTPConnection(address, timeout=20)
            for _ in range(20):
                c.request("GET", paths[n % len(paths)])
                got = c.getresponse()
                got.read()
                answers.append(got.status)
                n += 1
                if time.time() >= until:
                    return
        except (OSError, http.client.HTTPException):
            pass
all = [threading.Thread(target=ask, args=(i,)) for i in range(64)]
[t.start() for t in all]
[t.join() for t in all]
print(answers.count(200), len(answers) - answers.count(200))
`

// Sixty-four who ask without a pause, scrapes among them: every character that the port took is in the
// recording, and nothing that never happened is in the account.
func TestAStormOfScrapes(t *testing.T) {
	r := &diskRig{bench: quietBench, segment: "30m", folder: session.Folder(filepath.Join(sockettest.Folder(t), "s")), more: []string{"--listen", "127.0.0.1:0"}}
	r.start(t)
	r.until(t, 1)
	var address []string
	shown := func() bool {
		address = regexp.MustCompile(`http://(127\.0\.0\.1:\d+)/`).FindStringSubmatch(r.talk.String())
		return address != nil
	}
	require.Eventually(t, shown, 10*time.Second, 10*time.Millisecond, r.talk.String())
	said, err := exec.CommandContext(t.Context(), "nice", "-n", "19", "python3", "-c", storm, address[1], "8").Output()
	require.NoError(t, err)
	var answered, refused int
	_, err = fmt.Sscan(string(said), &answered, &refused)
	require.NoError(t, err, string(said))
	r.until(t, 1)
	r.end(t)
	require.Equal(t, 130, r.cmd.ProcessState.ExitCode(), r.talk.String())
	r.leave()
	t.Logf("%d answers, %d refusals", answered, refused)
	assert.Greater(t, answered, 100)

	a, tap := r.account(t), r.heard(t)
	taken := r.ports.Taken()[0]
	t.Logf("the port took %d characters, %d are recorded: %d frames; read late %d times; %d look left out", taken, tap.Bytes, tap.Frames,
		a.Taps[0].Late, a.Taps[0].GapFrames)
	assert.LessOrEqual(t, tap.Bytes, taken)
	assert.Greater(t, tap.Bytes, taken-2*servobus.FrameLen*1000/7, "but for what came while it ended, two seconds at most")
	assert.InDelta(t, tap.Bytes/servobus.FrameLen, tap.Frames, 2, "one at either end may be in part")
	assert.LessOrEqual(t, a.Taps[0].GapFrames, tap.Frames/100, "where a computer reads late all along, some look left out")
	assert.LessOrEqual(t, a.Taps[0].Silences, a.Taps[0].Late, "of who reads late")
}

// heard is the bus as a replay of the recording has it.
func (r *diskRig) heard(t *testing.T) *state.Tap {
	s, err := r.folder.ReadSheet()
	require.NoError(t, err)
	again, err := session.OpenReplay(r.folder, s, func(*event.Event, int64) {})
	require.NoError(t, err)
	require.NoError(t, engine.Run(again.Source, again.Engine, nil))
	require.Empty(t, again.Close())
	return &again.Engine.State().Taps[0]
}
