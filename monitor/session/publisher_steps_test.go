package session

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
)

// All subscribers get all there is, in the order in which they subscribed.
func TestSubscribersGetAllInOrder(t *testing.T) {
	m := newInMemory(t)
	var got []string
	subscriber := func(name string) Subscriber {
		return Subscriber{
			Shown:   func(e Shown) { got = append(got, name+" "+e.Event.Kind) },
			Judged:  func() { got = append(got, name+" beat") },
			Trouble: func(err error) { got = append(got, name+" "+err.Error()) },
		}
	}
	m.Subscribe(subscriber("first"))
	m.Subscribe(Subscriber{})
	m.Subscribe(subscriber("second"))
	m.beat()
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
	require.Equal(t, wait{what: forEvents}, rest(t, m.writer.step))
	m.pub.report(errors.New("trouble"))
	require.Len(t, got, 6)
	assert.Equal(t, []string{"first beat", "second beat", "first session.began", "second session.began"}, got[:4])
	assert.Equal(t, []string{"first trouble", "second trouble"}, got[len(got)-2:])
}

// Where nothing happens but frames a new picture comes each 100 ms at most; an event
// makes one at once.
func TestHowOftenAPictureComes(t *testing.T) {
	m := newInMemory(t)
	picture := m.pub.latest.Load()
	changes := func(put func()) bool {
		before := m.pub.latest.Load()
		put()
		require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
		return before != m.pub.latest.Load()
	}
	require.NotEmpty(t, picture.Claims, "there before the first input")
	require.Len(t, picture.Taps, 1)
	assert.True(t, changes(func() {}), "the session began")
	for i := range 40 { // of 25 ms
		m.now += second / 40
		assert.Equal(t, i%4 == 3, changes(m.beat), "at %d ms", m.now/1e6)
	}
	assert.True(t, changes(func() { m.mark("a") }))
	m.LookClosely(true)
	for i := range 8 {
		m.now += second / 80
		assert.Equal(t, i%2 == 1, changes(m.beat), "looked at closely, at %d ms", m.now/1e6)
	}
	m.LookClosely(false)
	m.now += second / 20
	assert.False(t, changes(m.beat))
}

// Each new picture is announced, so that nobody need look for it.
func TestAPictureIsAnnounced(t *testing.T) {
	m := newInMemory(t)
	announced := 0
	m.Subscribe(Subscriber{Pictured: func() { announced++ }})
	m.beat()
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	first := announced
	assert.Positive(t, first)
	m.mark("a")
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.Equal(t, first+1, announced)
}

// What the disk refuses is part of the picture while something is amiss.
func TestThePictureSaysWhatTheDiskRefuses(t *testing.T) {
	m := newInMemory(t)
	m.recording.refuses = 1
	w := m.rec.step()
	require.Equal(t, forDisk, w.what)
	r := m.State().Recorder
	assert.False(t, r.Recording)
	assert.False(t, r.Stalled)
	assert.Contains(t, r.Trouble, "no room")
	assert.Equal(t, int64(-1), r.FreeBytes)
	m.now = w.until
	require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
	m.mark("a")
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
	require.Equal(t, wait{what: forEvents}, rest(t, m.writer.step))
	r = m.State().Recorder
	assert.True(t, r.Recording)
	assert.Empty(t, r.Trouble)
}

// Whoever puts an input in learns what came of it: its events carry its number, and
// behind the last one that is said, also where there is none.
func TestWhatAnInputCausedIsKnownOnceItIsShown(t *testing.T) {
	m := newInMemory(t)
	var got []string
	m.Subscribe(Subscriber{
		Shown:    func(e Shown) { got = append(got, fmt.Sprintf("%d %s", e.Input, e.Event.Kind)) },
		AllShown: func(input int64, recorded bool) { got = append(got, fmt.Sprintf("%d all %v", input, recorded)) },
	})
	put := func(kind event.InputKind, data string) int64 {
		number, taken := m.Seq.Put(event.BenchTap, kind, []byte(data))
		require.True(t, taken)
		return number
	}
	steps := func() {
		require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
		require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
		rest(t, m.writer.step)
	}
	steps()
	got = nil
	first := put(event.InputMark, "a")
	second := put(event.InputDrillStep, `{"drill":"dance","do":"begin"}`)
	require.Equal(t, first+1, second)
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	require.Empty(t, got, "it is not recorded yet")
	steps()
	assert.Equal(t, []string{
		fmt.Sprintf("%d mark", first), fmt.Sprintf("%d drill.refused", second), fmt.Sprintf("%d all true", first), fmt.Sprintf("%d all true", second),
	}, got, "answered once both are on the disk")

	got = nil
	m.writer.queue.showAtOnce() // as in a gap
	third := put(event.InputMark, "b")
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.Equal(t, []string{fmt.Sprintf("%d mark", third), fmt.Sprintf("%d all false", third)}, got)
	steps()
	assert.Len(t, got, 2, "it is said once")
	m.Seq.Close(0)
	_, taken := m.Seq.Put(event.BenchTap, event.InputMark, nil)
	assert.False(t, taken)
}
