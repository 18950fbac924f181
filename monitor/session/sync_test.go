package session

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/unit"
)

// A sync that fails once: what it was about is lost unless it is written again, whatever the
// next sync says. So a mark that is answered as recorded later is in the recording behind
// any power cut, and so is all before it.
func TestASyncThatFailedIsNotHiddenByTheNext(t *testing.T) {
	for name, refused := range map[string]struct {
		sync    filestest.Call
		segment unit.Duration
		marks   []string // that are answered as recorded
	}{
		"of the recording":                     {filestest.Call{Op: "sync", Name: RecordingFile}, unit.Minute, []string{"second"}},
		"of the recording, at a segment's end": {filestest.Call{Op: "sync", Name: RecordingFile}, 3 * unit.Second, []string{"first", "second"}},
		"of the timeline":                      {filestest.Call{Op: "sync", Name: TimelineFile}, 3 * unit.Second, []string{"first", "second"}},
		"of the names, at a segment's end":     {filestest.Call{Op: "sync folder"}, 3 * unit.Second, []string{"first", "second"}},
		"of the next segment, which is made":   {filestest.Call{Op: "sync", Name: "." + RecordingFile + ".new"}, 3 * unit.Second, []string{"first", "second"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPowerCuts(t, 1, nil)
			opt := p.options(p.disk)
			opt.Segment = refused.segment
			l, err := Open(t.Context(), opt)
			require.NoError(t, err)
			defer l.Seq.Close(0)
			asked, answered := map[int64]string{}, []string(nil)
			l.Subscribe(Subscriber{AllShown: func(input int64, recorded bool) {
				if recorded {
					answered = append(answered, asked[input])
				}
			}})
			mark := func(text string) {
				n, _ := l.Seq.Put(event.BenchTap, event.InputMark, []byte(text))
				asked[n] = text
				finishSteps(l.judge.step)
				finishSteps(l.rec.step)
				finishSteps(l.writer.step)
			}
			mark("before")
			l.syncStep()
			answered, p.now = nil, 4*second
			failed := 0
			p.disk.Before = func(c filestest.Call) error {
				if c.Op == refused.sync.Op && c.Name == refused.sync.Name && failed == 0 {
					failed++
					return errFull
				}
				return nil
			}
			mark("first")
			l.syncStep()
			p.disk.Before = nil
			require.Equal(t, 1, failed)
			p.now = 6 * second
			mark("second")
			assert.Equal(t, refused.marks, answered)
			l.syncStep()
			for seed := range uint64(20) {
				left := p.disk.PowerCut(rand.New(rand.NewPCG(seed, 5)))
				lines, err := p.judged(left)
				require.NoError(t, err)
				text := fmt.Sprint(lines)
				assert.Contains(t, text, `"before"`)
				assert.Contains(t, text, `"first"`, "it is recorded, though late")
				assert.Contains(t, text, `"second"`)
				assert.NotContains(t, string(bytes.TrimRight(left.Content(TimelineFile), "\x00")), "\x00")
			}
		})
	}
}
