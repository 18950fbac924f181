package session

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
