package session_test

import (
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

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

const (
	weekSegments = 7 * 48
	weekEvents   = 100_000
	weekBase     = int64(1_700_000_000_000_000_000)
	halfAnHour   = 30 * unit.Minute
)

// weekMaker writes the folder of a session that ran for a week, half an hour a segment,
// and was cut off. The closed segments, which opening does not read, have a few inputs
// each; the open one has half an hour of a bus, and the last checkpoint is a minute old.
type weekMaker struct {
	in      files.Folder
	engine  *engine.Engine // judges the open segment
	lines   []byte         // of the timeline
	section recording.Section
	w       *recording.Writer
	at      unit.Time
	number  int64
}

func writeWeek(t testing.TB, folder string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, session.SheetFile), sheet.Starter(), 0o600))
	m := &weekMaker{in: filestest.Folder(t, folder), section: recording.Section{
		Base: weekBase, Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Build: "test", Session: strings.Repeat("5a", 16), Segment: 1,
	}}
	for range weekSegments - 1 {
		m.closedSegment(t)
	}
	for n := int64(1); n <= weekEvents; n++ {
		at := unit.Time(n * int64(m.at) / (weekEvents + 1))
		e := event.Event{Seq: n, At: at, From: at, Kind: event.Mark, About: "session", Data: event.MarkData{Text: "as one of many, of a usual length"}}
		var err error
		m.lines, err = timeline.Line(m.lines, &e, weekBase+int64(at))
		require.NoError(t, err)
	}
	m.openSegment(t)
	require.NoError(t, files.Replace(m.in, session.TimelineFile, m.lines))
}

func (m *weekMaker) put(t testing.TB, kind event.InputKind, tap uint8, data []byte) {
	in := event.Input{At: m.at, Tap: tap, Kind: kind, Data: data}
	require.NoError(t, m.w.Write(&in))
	if m.number++; m.engine != nil {
		m.engine.Step(&in)
	}
}

func (m *weekMaker) begin(t testing.TB, name string) files.File {
	f, err := m.in.Create(name)
	require.NoError(t, err)
	m.w, err = recording.NewWriter(f, m.section)
	require.NoError(t, err)
	return f
}

func (m *weekMaker) closedSegment(t testing.TB) {
	f := m.begin(t, fmt.Sprintf("recording-%06d.pcapng", m.section.Segment))
	if m.section.Segment == 1 {
		m.start(t, event.InputBegin, 0)
	}
	for range 60 {
		m.at = m.at.Add(halfAnHour / 60)
		m.put(t, event.InputBeat, 0, binary.BigEndian.AppendUint64(nil, uint64(weekBase+int64(m.at))))
	}
	require.NoError(t, m.w.Flush())
	require.NoError(t, f.Close())
	require.NoError(t, recording.Pack(t.Context(), m.in, m.section.Segment, nil))
	m.section = m.w.NextSegment()
}

func (m *weekMaker) start(t testing.TB, kind event.InputKind, seq int64) {
	start, err := json.Marshal(event.Start{Build: "test", WallNS: weekBase + int64(m.at), Taps: m.section.Taps, Seq: seq})
	require.NoError(t, err)
	m.put(t, kind, 0, start)
	m.put(t, event.InputTapUp, 1, []byte(`{"port":"simulated"}`))
}

// openSegment begins with a resumption, so that numbers go on without what was before.
func (m *weekMaker) openSegment(t testing.TB) {
	f := m.begin(t, session.RecordingFile)
	m.engine = engine.New(readStarter(t), func(e *event.Event, wall int64) {
		var err error
		m.lines, err = timeline.Line(m.lines, e, wall)
		require.NoError(t, err)
	})
	m.start(t, event.InputResume, weekEvents+1)
	var frame bus.Frame
	for i := range frame.Counts {
		frame.Counts[i] = 992
	}
	var raw [servobus.FrameLen]byte
	began := m.at
	beat, checkpoint := began.Add(unit.Second), began.Add(halfAnHour-unit.Minute)
	for n := 0; m.at.Sub(began) < halfAnHour; n++ {
		m.at = m.at.Add(7 * unit.Millisecond)
		frame.Counts[0] = uint32(992 + n%97)
		servobus.Encode(&frame, raw[:])
		m.put(t, event.InputBytes, 1, raw[:])
		if m.at >= beat {
			beat = beat.Add(unit.Second)
			m.put(t, event.InputBeat, 0, binary.BigEndian.AppendUint64(nil, uint64(weekBase+int64(m.at))))
			require.NoError(t, m.w.Flush())
			if m.at >= checkpoint {
				checkpoint = unit.Never
				m.checkpoint(t)
			}
		}
	}
	require.NoError(t, m.w.Flush())
	require.NoError(t, f.Close())
}

func (m *weekMaker) checkpoint(t testing.TB) {
	state, err := m.engine.Checkpoint()
	require.NoError(t, err)
	line, err := recording.AppendCheckpoint(nil, &recording.Checkpoint{
		Session: m.section.Session, Judge: "0123456789abcdef", Input: m.number, At: m.at, Seq: m.engine.Seq() + 1, Engine: state, Position: m.w.Position(0),
	})
	require.NoError(t, err)
	require.NoError(t, files.Replace(m.in, session.CheckpointsFile, line))
}

// openWeek opens the folder and says how long it took and what memory it keeps, bytes.
func openWeek(t testing.TB, folder string) (took time.Duration, kept uint64) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	s := newSitting(folder, "main")
	s.opt.Wall = func() time.Time { return time.Unix(0, weekBase+int64(8*24*time.Hour)) }
	began := time.Now()
	live, err := s.open()
	took = time.Since(began)
	require.NoError(t, err)
	require.Empty(t, live.Notices)
	runtime.GC()
	runtime.ReadMemStats(&after)
	ctx, stop := timeout(t, time.Minute)
	defer stop()
	live.Subscribe(session.Subscriber{Shown: func(e session.Shown) {
		if e.Event.Kind == event.SessionResumed {
			stop()
		}
	}})
	require.NoError(t, live.Run(ctx))
	assert.Equal(t, "[]", s.notices())
	assert.Contains(t, s.kinds(), event.SessionResumed)
	return took, after.HeapAlloc - min(before.HeapAlloc, after.HeapAlloc)
}

// A session of a week opens at once, in memory that does not grow with it. (The race
// detector and a busy machine take several times as long as the two seconds that a
// machine by itself has: see BenchmarkOpenAWeek.)
func TestASessionOfAWeekOpensAtOnce(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "s")
	writeWeek(t, folder)
	took, kept := openWeek(t, folder)
	t.Logf("%v, %d MB", took, kept>>20)
	assert.Less(t, took, 15*time.Second)
	assert.Less(t, kept, uint64(64<<20))
}

func BenchmarkOpenAWeek(b *testing.B) {
	folder := filepath.Join(b.TempDir(), "s")
	writeWeek(b, folder)
	for b.Loop() {
		took, kept := openWeek(b, folder)
		b.ReportMetric(took.Seconds(), "s/open")
		b.ReportMetric(float64(kept>>20), "MB")
	}
}
