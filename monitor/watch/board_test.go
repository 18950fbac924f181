package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

func boardOf(t *testing.T, play func(*quiet)) []fact.Event {
	return heardOf(t, plain, func() watch.Watcher { return &watch.Board{Tap: 2} }, play)
}

func TestBoardHeardAndSilent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(5 * fact.Second)
		q.board = false
		q.run(10 * fact.Second)
		q.board = true
		q.run(2 * fact.Second)
	})
	require.Equal(t, []string{fact.BoardHeard, fact.BoardSilent, fact.BoardHeard}, kinds(events))
	assert.Equal(t, fact.Event{At: fact.Second, From: fact.Second, Kind: fact.BoardHeard, About: "tap:leads",
		Data: fact.BoardHeardData{TickNS: 500}}, events[0])
	assert.Equal(t, fact.Event{At: 8 * fact.Second, From: 5 * fact.Second, Kind: fact.BoardSilent, About: "tap:leads",
		Data: fact.SilentData{LimitNS: 3 * fact.Second}}, events[1])
	assert.Equal(t, fact.BoardHeardData{TickNS: 500, SilentNS: 11 * fact.Second}, events[2].Data)
}

// Any line will do, and 3 s to the dot are no silence.
func TestBoardThatIsJustNotSilent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * fact.Second)
		for range 3 {
			q.board = false
			q.run(3*fact.Second - 1)
			q.pulse(1, q.at, 1_500_000)
		}
	})
	assert.Equal(t, []string{fact.BoardHeard}, kinds(events))
}

func TestBoardThatNeverSpeaks(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.board = false
		q.run(fact.Second)
		q.lost(fact.BoardLostData{Refused: map[string]int64{"outside": 40}})
		q.run(5 * fact.Second)
	})
	require.Equal(t, []string{fact.BoardSilent, fact.BoardLost}, kinds(events))
	assert.Equal(t, fact.Time(0), events[0].From)
	assert.Equal(t, fact.SilentData{LimitNS: 3 * fact.Second, Never: true, Refused: 40}, events[0].Data)
	assert.Equal(t, 3*fact.Second, events[1].At)
	assert.Equal(t, fact.BoardLostData{Refused: map[string]int64{"outside": 40}}, events[1].Data)
}

// What is refused before the first line is that of a tap that opened in the middle.
func TestBoardJoinedInTheMiddle(t *testing.T) {
	for _, again := range []bool{false, true} {
		events := boardOf(t, func(q *quiet) {
			if again {
				q.run(2 * fact.Second)
				q.down()
				q.up()
			}
			q.run(500 * ms)
			q.lost(fact.BoardLostData{Refused: map[string]int64{"no-tick": 90}})
			q.run(4 * fact.Second)
		})
		assert.NotContains(t, kinds(events), fact.BoardLost)
	}
}

func TestBoardLost(t *testing.T) {
	var first fact.Time
	events := boardOf(t, func(q *quiet) {
		q.run(2 * fact.Second)
		first = q.at
		q.lost(fact.BoardLostData{Lines: 3, Refused: map[string]int64{"bad-sum": 31}})
		q.run(900 * ms)
		q.lost(fact.BoardLostData{Dropped: 2, Restarts: 1, Refused: map[string]int64{"bad-sum": 9, "outside": 1}})
		q.run(1100 * ms)
		q.lost(fact.BoardLostData{Lines: 1})
		q.run(100 * ms)
		q.down()
		q.up()
		q.run(2 * fact.Second)
	})
	require.Equal(t, []string{fact.BoardHeard, fact.BoardLost, fact.BoardLost, fact.BoardHeard}, kinds(events))
	assert.Equal(t, fact.Event{At: first + 1900*ms, From: first, Kind: fact.BoardLost, About: "tap:leads", Data: fact.BoardLostData{
		Lines: 3, Dropped: 2, Restarts: 1, SpanNS: 900 * ms, Refused: map[string]int64{"bad-sum": 40, "outside": 1},
	}}, events[1])
	assert.Equal(t, fact.BoardLostData{Lines: 1, Refused: map[string]int64{}}, events[2].Data)
	assert.Zero(t, events[3].Data.(fact.BoardHeardData).Restarts, "counted since the tap came up")
}

// Trouble that goes on is told in pieces; a board that restarted is heard with that.
func TestBoardLostForLong(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * fact.Second)
		for range 25 {
			q.lost(fact.BoardLostData{Lines: 1, Restarts: 1})
			q.run(500 * ms)
		}
		q.board = false
		q.run(4 * fact.Second)
		q.board = true
		q.run(2 * fact.Second)
	})
	require.Equal(t, []string{fact.BoardHeard, fact.BoardLost, fact.BoardLost, fact.BoardSilent, fact.BoardHeard}, kinds(events))
	assert.Equal(t, int64(21), events[1].Data.(fact.BoardLostData).Lines)
	assert.Equal(t, int64(4), events[2].Data.(fact.BoardLostData).Lines)
	assert.Equal(t, 25, events[4].Data.(fact.BoardHeardData).Restarts)
}

// Nobody waits for a board whose tap went.
func TestBoardWhoseTapWent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * fact.Second)
		q.down()
		q.at += 10 * fact.Second
		q.see(&fact.Observation{Wire: q.at, Tap: 1, Kind: fact.Beat})
	})
	assert.Equal(t, []string{fact.BoardHeard}, kinds(events))
}

// Trouble right before it is heard again is trouble.
func TestBoardLostBeforeItIsHeardAgain(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * fact.Second)
		q.board = false
		q.run(4500 * ms)
		q.lost(fact.BoardLostData{Lines: 7})
		q.board = true
		q.run(2 * fact.Second)
	})
	assert.Equal(t, []string{fact.BoardHeard, fact.BoardSilent, fact.BoardHeard, fact.BoardLost}, kinds(events))
}
