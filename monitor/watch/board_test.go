package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

func boardOf(t *testing.T, play func(*quiet)) []event.Event {
	return heardOf(t, plain, func() base.Watcher { return &leads.Board{Tap: 2} }, play)
}

func TestBoardHeardAndSilent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(5 * unit.Second)
		q.board = false
		q.run(10 * unit.Second)
		q.board = true
		q.run(2 * unit.Second)
	})
	require.Equal(t, []string{event.BoardHeard, event.BoardSilent, event.BoardHeard}, kinds(events))
	assert.Equal(t, event.Event{At: unit.Time(unit.Second), From: unit.Time(unit.Second), Kind: event.BoardHeard, About: "tap:leads",
		Data: event.BoardHeardData{TickNS: 500}}, events[0])
	assert.Equal(t, event.Event{At: unit.Time(8 * unit.Second), From: unit.Time(5 * unit.Second), Kind: event.BoardSilent, About: "tap:leads",
		Data: event.SilentData{LimitNS: 3 * unit.Second}}, events[1])
	assert.Equal(t, event.BoardHeardData{TickNS: 500, SilentNS: 11 * unit.Second}, events[2].Data)
}

// Any line will do, and 3 s to the dot are no silence.
func TestBoardThatIsJustNotSilent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * unit.Second)
		for range 3 {
			q.board = false
			q.run(3*unit.Second - 1)
			q.pulse(1, q.at, 1_500_000)
		}
	})
	assert.Equal(t, []string{event.BoardHeard}, kinds(events))
}

func TestBoardThatNeverSpeaks(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.board = false
		q.run(unit.Second)
		q.lost(event.BoardLostData{Refused: map[string]int64{"outside": 40}})
		q.run(5 * unit.Second)
	})
	require.Equal(t, []string{event.BoardSilent, event.BoardLost}, kinds(events))
	assert.Equal(t, unit.Time(0), events[0].From)
	assert.Equal(t, event.SilentData{LimitNS: 3 * unit.Second, Never: true, Refused: 40}, events[0].Data)
	assert.Equal(t, unit.Time(3*unit.Second), events[1].At)
	assert.Equal(t, event.BoardLostData{Refused: map[string]int64{"outside": 40}}, events[1].Data)
}

// What is refused before the first line is that of a tap that opened in the middle.
func TestBoardJoinedInTheMiddle(t *testing.T) {
	for _, again := range []bool{false, true} {
		events := boardOf(t, func(q *quiet) {
			if again {
				q.run(2 * unit.Second)
				q.down()
				q.up()
			}
			q.run(500 * ms)
			q.lost(event.BoardLostData{Refused: map[string]int64{"no-tick": 90}})
			q.run(4 * unit.Second)
		})
		assert.NotContains(t, kinds(events), event.BoardLost)
	}
}

func TestBoardLost(t *testing.T) {
	var first unit.Time
	events := boardOf(t, func(q *quiet) {
		q.run(2 * unit.Second)
		first = q.at
		q.lost(event.BoardLostData{Lines: 3, Refused: map[string]int64{"bad-sum": 31}})
		q.run(900 * ms)
		q.lost(event.BoardLostData{Dropped: 2, Restarts: 1, Refused: map[string]int64{"bad-sum": 9, "outside": 1}})
		q.run(1100 * ms)
		q.lost(event.BoardLostData{Lines: 1})
		q.run(100 * ms)
		q.down()
		q.up()
		q.run(2 * unit.Second)
	})
	require.Equal(t, []string{event.BoardHeard, event.BoardLost, event.BoardLost, event.BoardHeard}, kinds(events))
	assert.Equal(t, event.Event{At: first.Add(1900 * ms), From: first, Kind: event.BoardLost, About: "tap:leads", Data: event.BoardLostData{
		Lines: 3, Dropped: 2, Restarts: 1, SpanNS: 900 * ms, Refused: map[string]int64{"bad-sum": 40, "outside": 1},
	}}, events[1])
	assert.Equal(t, event.BoardLostData{Lines: 1, Refused: map[string]int64{}}, events[2].Data)
	assert.Zero(t, events[3].Data.(event.BoardHeardData).Restarts, "counted since the tap came up")
}

// Trouble that goes on is reported in pieces; a board that restarted is heard with that.
func TestBoardLostForLong(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * unit.Second)
		for range 25 {
			q.lost(event.BoardLostData{Lines: 1, Restarts: 1})
			q.run(500 * ms)
		}
		q.board = false
		q.run(4 * unit.Second)
		q.board = true
		q.run(2 * unit.Second)
	})
	require.Equal(t, []string{event.BoardHeard, event.BoardLost, event.BoardLost, event.BoardSilent, event.BoardHeard}, kinds(events))
	assert.Equal(t, int64(21), events[1].Data.(event.BoardLostData).Lines)
	assert.Equal(t, int64(4), events[2].Data.(event.BoardLostData).Lines)
	assert.Equal(t, 25, events[4].Data.(event.BoardHeardData).Restarts)
}

// Nobody waits for a board whose tap went.
func TestBoardWhoseTapWent(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * unit.Second)
		q.down()
		q.at = q.at.Add(10 * unit.Second)
		q.see(&event.Observation{Wire: q.at, Tap: 1, Kind: event.InputBeat})
	})
	assert.Equal(t, []string{event.BoardHeard}, kinds(events))
}

// Trouble right before it is heard again is trouble.
func TestBoardLostBeforeItIsHeardAgain(t *testing.T) {
	events := boardOf(t, func(q *quiet) {
		q.run(2 * unit.Second)
		q.board = false
		q.run(4500 * ms)
		q.lost(event.BoardLostData{Lines: 7})
		q.board = true
		q.run(2 * unit.Second)
	})
	assert.Equal(t, []string{event.BoardHeard, event.BoardSilent, event.BoardHeard, event.BoardLost}, kinds(events))
}
