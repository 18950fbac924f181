package session

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// longRun is a session in a real folder with all watchers, eight leads and one client, on
// simulated time. What is closed of its recording is packed, as beside a session that runs.
type longRun struct {
	now    int64
	folder string
	live   *Live
	client int // bytes that it was given
}

// eightLeads is a receiver with a stabiliser and eight outputs.
const eightLeads = simtest.Reedwing + `receiver main preset
preset main throttle 1000
preset main aid first
preset main strength 1040
preset main teach rest
link main loss 0.05% burst 2
board leads of main
axis roll aileron left 1000
axis pitch elevator back 2000
axis yaw rudder right 2000
gyro gain strength none 1040 full 1930
gyro off when aid 0 1180
gyro rate when aid 1180 3000
output 1 by aileron 100% corrects roll
output 2 by elevator 100% corrects pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
output 5 by aileron -100% corrects roll
output 6 by elevator 100% corrects pitch
output 7 by throttle 100%
output 8 by rudder 100% corrects yaw
0s signal on
`

// hourOfLife is what happens each hour: sticks, modes, a tilt, losses, a cable.
const hourOfLife = `%dm stir aileron elevator rudder for 20s
%dm aid first
%dm tilt roll 20 over 500ms
%dm tilt roll 0 over 500ms
%dm aid second
%dm signal off
%dm signal on
%dm mute main for 3s
%dm unplug main
%dm plug main
`

func longScript(t testing.TB, hours int) *script.Script {
	var text strings.Builder
	text.WriteString(eightLeads)
	for h := range hours {
		minutes := []any{}
		for n := range strings.Count(hourOfLife, "%d") {
			minutes = append(minutes, 60*h+5+5*n)
		}
		fmt.Fprintf(&text, hourOfLife, minutes...)
	}
	fmt.Fprintf(&text, "%dm end\n", 60*hours)
	return simtest.Parse(t, text.String())
}

func newLongRun(t testing.TB, taps []string) *longRun {
	r := &longRun{folder: filepath.Join(t.TempDir(), "s")}
	opt := Options{
		Folder: Folder(r.folder), SheetName: "starter", SheetText: sheet.Starter(), Build: "test", Every: 60,
		Taps:  []event.TapName{{Name: taps[0], Kind: "bus"}, {Name: taps[1], Kind: "pulses"}},
		Clock: func() int64 { return r.now }, Wall: func() time.Time { return time.Unix(0, wallOfTests+r.now) },
		Judge: func() string { return judgeOfTests },
	}
	var err error
	r.live, err = Open(context.Background(), opt)
	require.NoError(t, err)
	r.live.Subscribe(Subscriber{
		Shown: func(s Shown) { r.client += len(s.Line) },
		Judged: func() {
			state, err := json.Marshal(r.live.State())
			require.NoError(t, err)
			r.client += len(state)
		},
		Trouble: func(err error) { assert.NoError(t, err) },
	})
	return r
}

// beat is what comes with each second.
func (r *longRun) beat() {
	r.live.Seq.Put(event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wallOfTests+r.now)))
	r.live.watchdog()
	r.live.syncStep()
	for _, step := range []func() wait{r.live.judge.step, r.live.rec.step, r.live.writer.step} {
		rests(step)
	}
	if r.now%(600*second) == 0 {
		r.live.packStep(context.Background())
	}
}

// memory is what the program has of the computer's memory, and what of it is reachable.
type memory struct{ resident, heap, objects uint64 }

func memoryNow() memory {
	var m runtime.MemStats
	runtime.GC()
	runtime.GC()
	runtime.ReadMemStats(&m)
	return memory{resident: m.Sys - m.HeapReleased, heap: m.HeapAlloc, objects: m.HeapObjects}
}

func (m *memory) atLeast(of memory) {
	m.resident, m.heap, m.objects = max(m.resident, of.resident), max(m.heap, of.heap), max(m.objects, of.objects)
}

// BenchmarkThreeDays has days pass, three with BENCHPROOF_SEEDS, else some hours: the program has
// in the last hour at most 1.2 times the memory of the first. It is the most of what is seen each
// ten minutes. What is reachable is less than half of it, and grows with the record of the session
// to the bound that a checkpoint has.
func BenchmarkThreeDays(b *testing.B) {
	hours := 2
	if os.Getenv("BENCHPROOF_SEEDS") != "" {
		hours = 72
	}
	for b.Loop() {
		most := make([]memory, hours)
		daysPass(b, hours, func(hour int64) { most[hour].atLeast(memoryNow()) })
		first, last := most[0], most[hours-1]
		b.Logf("hour by hour, bytes that the program has, bytes that are reachable, objects: %v", most)
		b.ReportMetric(float64(last.resident)/float64(first.resident), "resident/first-hour")
		b.ReportMetric(float64(last.heap)/float64(first.heap), "heap/first-hour")
		b.ReportMetric(float64(last.objects)/float64(first.objects), "objects/first-hour")
		b.ReportMetric(float64(last.resident)/(1<<20), "MB")
		assert.LessOrEqual(b, float64(last.resident), 1.2*float64(first.resident), "bytes")
		assert.LessOrEqual(b, float64(last.objects), 1.2*float64(first.objects), "objects")
	}
}

// daysPass plays hours, and calls look each ten minutes with the hour that it is.
func daysPass(b *testing.B, hours int, look func(hour int64)) {
	scripted := longScript(b, hours)
	sim := world.New(&scripted.Plan, 1)
	r := newLongRun(b, scripted.TapNames())
	for tap := range scripted.TapNames() {
		r.live.Seq.Put(uint8(tap+1), event.InputTapUp, []byte(`{"port":"simulated"}`))
	}
	for d, ok := sim.Next(); ok; d, ok = sim.Next() {
		for next := (r.now/second + 1) * second; next <= d.At; next += second {
			r.now = next
			r.beat()
			if next%(600*second) == 0 && next < int64(hours)*3600*second {
				look(next / (3600 * second))
			}
		}
		r.now = max(r.now, d.At)
		putDelivery(r, &d)
	}
	r.live.Seq.Close(0)
	require.NoError(b, r.live.files.close())
}

func putDelivery(r *longRun, d *world.Delivery) {
	kind, data := event.InputBytes, d.Data
	switch {
	case d.Kind == world.Unplugged:
		kind, data = event.InputTapDown, []byte("unplugged")
	case d.Kind == world.Plugged:
		kind, data = event.InputTapUp, []byte(`{"port":"simulated"}`)
	case d.Bad:
		kind = event.InputBadBytes
	}
	r.live.Seq.Put(uint8(d.Tap+1), kind, data)
}
