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

func silences(t *testing.T, play func(*quiet)) []event.Event {
	return heardOf(t, plain, func() base.Watcher { return &leads.OutputSilence{Tap: 2} }, play)
}

// two lets outputs 1 and 2 be heard for three seconds.
func two(q *quiet) {
	q.out[1], q.out[2] = steady(1_500_000), steady(1_400_000)
	q.run(3 * unit.Second)
}

func TestOutputSilentAndBack(t *testing.T) {
	events := silences(t, func(q *quiet) {
		two(q)
		q.out[2] = nil
		q.run(unit.Second)
		q.out[2] = steady(1_600_000)
		q.run(unit.Second)
	})
	require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent, event.OutputBack}, kinds(events))
	assert.Equal(t, "output:1", events[0].About)
	assert.Equal(t, event.OutputBackData{WidthNS: 1_500_000}, events[0].Data)
	last := 2980*ms + 1_400_000 // its last pulse
	assert.Equal(t, "output:2", events[2].About)
	assert.Equal(t, unit.Time(last), events[2].From)
	assert.Greater(t, unit.Duration(events[2].At), last+100*ms)
	assert.Less(t, unit.Duration(events[2].At), last+125*ms)
	assert.Equal(t, event.SilentData{LimitNS: 100 * ms}, events[2].Data)
	back := events[3].Data.(event.OutputBackData)
	assert.Equal(t, unit.Width(1_600_000), back.WidthNS)
	assert.Equal(t, unit.Duration(events[3].From.Add(-last)), back.SilentNS)
}

// Five periods, 100 ms at least: a pulse that comes in time ends the wait.
func TestWhenAnOutputCountsAsSilent(t *testing.T) {
	for _, x := range []struct {
		name   string
		period unit.Duration
		gap    unit.Duration // from pulse to pulse
		silent bool
	}{
		{"100 ms are none", 20 * ms, 100 * ms, false},
		{"another's next pulse behind them tells", 20 * ms, 120 * ms, true},
		{"fast pulses wait as long", 5 * ms, 100 * ms, false},
		{"and no longer", 5 * ms, 120 * ms, true},
		{"five periods of 30 ms are none", 30 * ms, 150 * ms, false},
		{"more are", 30 * ms, 180 * ms, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := silences(t, func(q *quiet) {
				q.out[1], q.out[2] = steady(1_500_000), steady(1_500_000)
				q.period[1], q.period[2] = 5*ms, x.period
				q.run(3 * unit.Second)
				at := q.due[2].Add(-x.period)
				q.due[2] = at.Add(x.gap)
				q.run(unit.Second)
			})
			assert.Equal(t, x.silent, len(events) > 2, kinds(events))
		})
	}
}

// One pulse that was lacking, or is one too many, changes no wait.
func TestAPeriodOnceDoubled(t *testing.T) {
	events := silences(t, func(q *quiet) {
		q.period[2] = 30 * ms
		two(q)
		q.due[2] = q.due[2].Add(30 * ms)
		last := q.due[2]
		q.out[2] = func(at unit.Time) unit.Width {
			if at > last {
				return 0
			}
			return 1_400_000
		}
		q.run(unit.Second)
	})
	require.Len(t, events, 3)
	assert.Equal(t, event.SilentData{LimitNS: 150 * ms}, events[2].Data)
}

// An output that is heard last may be the first that is missing: the others come too seldom
// for a longer wait of theirs to be over.
func TestTheShortestWaitIsTheFirstToEnd(t *testing.T) {
	events := silences(t, func(q *quiet) {
		q.out[2], q.period[2] = steady(1_400_000), 90*ms
		q.run(3 * unit.Second)
		q.out[1], q.period[1] = steady(1_500_000), 5*ms
		q.run(50 * ms)
		q.out[1] = nil
		q.run(2 * unit.Second)
	})
	require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent}, kinds(events))
	assert.Equal(t, "output:1", events[2].About)
	assert.LessOrEqual(t, events[2].At.Sub(events[2].From), 100*ms+90*ms+7*ms) // with the next pulse of the other
}

// Nor does a clock that begins anew leave it waiting for the time that the one before had.
func TestTheShortestWaitOfANewClock(t *testing.T) {
	began := unit.Time(0)
	events := silences(t, func(q *quiet) {
		q.out[1], q.period[1] = steady(1_500_000), 5*ms
		q.out[2], q.period[2] = steady(1_400_000), 90*ms
		q.run(3 * unit.Second)
		q.again()
		q.lost(event.BoardLostData{Restarts: 1})
		began, q.out[1] = q.at, nil
		q.run(2 * unit.Second)
	})
	require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent}, kinds(events))
	assert.Equal(t, "output:1", events[2].About)
	assert.LessOrEqual(t, events[2].At.Sub(began), 3*90*ms+7*ms) // the other's third pulse is behind 100 ms
}

// The board, the cable or the computer may stop: no output did.
func TestSilenceOfTheBoardIsNoOutputs(t *testing.T) {
	for name, stop := range map[string]func(*quiet){
		"the board is silent for a while": func(q *quiet) {
			q.board = false
			q.run(900 * ms)
			q.board = true
			q.again()
			q.lost(event.BoardLostData{Restarts: 1})
		},
		"it begins anew":       func(q *quiet) { q.again(); q.lost(event.BoardLostData{Restarts: 1}) },
		"its clock went round": func(q *quiet) { q.again() },
		"all is read late":     func(q *quiet) { q.late = 700 * ms; q.run(unit.Second) },
		"lines were lost": func(q *quiet) {
			q.board = false
			q.run(500 * ms)
			q.lost(event.BoardLostData{Lines: 60})
			q.board = true
		},
		"lines go on being lost": func(q *quiet) {
			for range 20 {
				q.out[2] = nil
				q.run(70 * ms)
				q.lost(event.BoardLostData{Lines: 1})
			}
			q.out[2] = steady(1_500_000)
		},
	} {
		t.Run(name, func(t *testing.T) {
			events := silences(t, func(q *quiet) {
				two(q)
				stop(q)
				q.run(2 * unit.Second)
			})
			assert.Equal(t, []string{event.OutputBack, event.OutputBack}, kinds(events))
		})
	}
}

// Where all outputs stop, the board's own lines show it: the second one.
func TestAllOutputsSilent(t *testing.T) {
	events := silences(t, func(q *quiet) {
		two(q)
		q.run(500 * ms)
		q.out[1], q.out[2] = nil, nil
		q.run(3 * unit.Second)
	})
	require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent, event.OutputSilent}, kinds(events))
	assert.Equal(t, unit.Time(5*unit.Second), events[2].At)
	assert.Equal(t, unit.Time(3480*ms+1_500_000), events[2].From)
	assert.Equal(t, "output:2", events[3].About)
}

// A board's clock that begins anew dates no silence; an output that stopped then is
// reported all the same.
func TestAnOutputThatStopsWithARestart(t *testing.T) {
	for _, reported := range []bool{false, true} {
		events := silences(t, func(q *quiet) {
			two(q)
			q.again()
			if reported {
				q.lost(event.BoardLostData{Restarts: 1})
			}
			q.out[2] = nil
			q.run(unit.Second)
		})
		require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent}, kinds(events))
		assert.Equal(t, unit.Time(2980*ms+1_400_000), events[2].From)
		assert.Less(t, events[2].At, unit.Time(3200*ms))
	}
}

// A board that begins anew says at once who it is and what it does: no two seconds.
func TestABoardThatBeginsAnewStopsNoOutput(t *testing.T) {
	says := event.Observation{Tap: 2, Kind: event.BoardStatus, Board: event.Board{Name: "board", Tick: 500, Outputs: 8}}
	events := silences(t, func(q *quiet) {
		two(q)
		q.again()
		q.lost(event.BoardLostData{Restarts: 1})
		for range 3 {
			line := says
			line.Wire = q.at
			q.see(&line)
		}
		q.run(unit.Second)
	})
	assert.Equal(t, []string{event.OutputBack, event.OutputBack}, kinds(events))
}

// One pulse settles nothing, nor two: three in a row do, at a period that servos are sent.
func TestWhatIsNoOutput(t *testing.T) {
	events := silences(t, func(q *quiet) {
		q.out[1] = steady(1_500_000)
		q.run(unit.Second)
		for range 5 {
			q.pulse(4, q.at, 1_500_000)
			q.run(20 * ms)
			q.pulse(4, q.at, 1_500_000)
			q.run(300 * ms)
		}
		for range 9 {
			q.pulse(5, q.at, 1_500_000)
			q.run(101 * ms)
		}
	})
	assert.Equal(t, []string{event.OutputBack}, kinds(events))
	slow := silences(t, func(q *quiet) {
		for range 3 {
			q.run(100 * ms)
			q.pulse(5, q.at, 1_500_000)
		}
	})
	assert.Equal(t, []string{event.OutputBack}, kinds(slow))
}

// After a break in which nobody listened, outputs are back; one that is not is reported.
func TestOutputsAfterABreak(t *testing.T) {
	for name, pause := range map[string]func(*quiet){
		"unplugged":             func(q *quiet) { q.down(); q.at = q.at.Add(5 * unit.Second); q.up() },
		"for a moment":          func(q *quiet) { q.down(); q.at = q.at.Add(unit.Second); q.up() },
		"the board stood still": func(q *quiet) { q.board = false; q.run(3100 * ms); q.board = true },
	} {
		t.Run(name, func(t *testing.T) {
			events := silences(t, func(q *quiet) {
				two(q)
				q.out[2] = nil
				pause(q)
				q.run(unit.Second)
			})
			require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputBack, event.OutputSilent}, kinds(events))
			assert.Equal(t, "output:1", events[2].About)
			assert.Greater(t, events[2].Data.(event.OutputBackData).SilentNS, unit.Second)
			assert.Equal(t, "output:2", events[3].About)
			assert.Equal(t, unit.Time(2980*ms+1_400_000), events[3].From)
		})
	}
}

// What the board said of itself before it stood still says nothing of the outputs behind that.
func TestOutputsAfterTheBoardStoodStill(t *testing.T) {
	events := silences(t, func(q *quiet) {
		two(q)
		q.run(500 * ms)
		q.out[1], q.out[2] = nil, nil
		q.run(600 * ms) // it says something once,
		q.board = false
		q.run(4 * unit.Second)
		q.board = true
		q.run(unit.Second) // and once again
	})
	assert.Equal(t, []string{event.OutputBack, event.OutputBack}, kinds(events))
}

// What is read in one lump has the date of its reading: how long an output paused in it, the
// board's clock says.
func TestOutputsWhileNobodyReadsPauseForAsLong(t *testing.T) {
	events := silences(t, func(q *quiet) {
		two(q)
		read := q.at.Add(2 * unit.Second)
		for rise := q.at; rise < read.Add(-100*ms); rise = rise.Add(20 * ms) {
			for n := 1; n <= 2; n++ {
				if paused := rise.Sub(q.at); n == 2 && paused > 500*ms && paused < 900*ms {
					delete(q.rose, n)
					continue
				}
				q.pulseReadAt(n, rise, 1_400_000, read)
			}
		}
	})
	require.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent, event.OutputBack}, kinds(events))
	assert.Equal(t, "output:2", events[3].About)
	assert.Equal(t, events[2].From, events[3].From, "by their dates no time passed")
	assert.Equal(t, 400*ms, events[3].Data.(event.OutputBackData).SilentNS)
}

// A computer that stands still reads late, but the pulses have dates of the board's.
func TestOutputsWhileTheComputerStandsStill(t *testing.T) {
	for name, spoke := range map[string]unit.Duration{"a pulse is read first": 0, "the board's own line is read first": 990 * ms} {
		t.Run(name, func(t *testing.T) {
			events := silences(t, func(q *quiet) {
				two(q)
				q.run(spoke)
				q.stands = q.at.Add(5 * unit.Second)
				q.run(8 * unit.Second)
			})
			assert.Equal(t, []string{event.OutputBack, event.OutputBack}, kinds(events))
			events = silences(t, func(q *quiet) {
				two(q)
				q.run(spoke)
				q.stands = q.at.Add(5 * unit.Second)
				q.run(2 * unit.Second)
				was := q.out[2]
				q.out[2] = nil
				q.run(500 * ms)
				q.out[2] = was
				q.run(5 * unit.Second)
			})
			assert.Equal(t, []string{event.OutputBack, event.OutputBack, event.OutputSilent, event.OutputBack}, kinds(events), "a pause in that time is seen")
		})
	}
}

// The pulse that comes again has the board's time: how long none came before it is known by it,
// also where no other output is heard.
func TestTheOutputThatIsBackWasSilent(t *testing.T) {
	events := silences(t, func(q *quiet) {
		q.out[1] = steady(1_500_000)
		q.run(3 * unit.Second)
		q.out[1] = func(unit.Time) unit.Width { return 0 }
		q.run(400 * unit.Millisecond)
		q.out[1] = steady(1_500_000)
		q.run(unit.Second)
	})
	require.Equal(t, []string{event.OutputBack, event.OutputSilent, event.OutputBack}, kinds(events))
	assert.Equal(t, events[1].From, unit.Time(2980*ms+1_500_000), "its last pulse")
	assert.InDelta(t, float64(400*ms), float64(events[2].Data.(event.OutputBackData).SilentNS), float64(30*ms))
}
