package world_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

const wraps = int64(1) << 32

// unwrapped are rises, ticks, that go on where the board's clock wraps.
func unwrapped(lines []boardLine) []int64 {
	var all []int64
	for i, l := range lines {
		if i == 0 {
			all = append(all, l.rise)
			continue
		}
		step := (l.rise - lines[i-1].rise) % wraps
		if step < -wraps/2 {
			step += wraps
		}
		all = append(all, all[i-1]+step)
	}
	return all
}

func pulsesOf(lines []boardLine) (some []boardLine) {
	for _, l := range lines {
		if !l.about {
			some = append(some, l)
		}
	}
	return some
}

// The board reports each pulse that fell since it woke up, by a clock of its own that may
// wrap, with numbers that go on, each line soon after the pulse.
func TestBoardTellsEveryPulse(t *testing.T) {
	wrapped := 0
	for _, c := range []struct {
		clock string
		ppm   float64
	}{{"crystal", 100}, {"ceramic", 5000}} {
		worst := 0.0
		for seed := range uint64(6) {
			h := simtest.Run(t, bareLeads[:len(bareLeads)-1]+" clock "+c.clock+"\noutput 1 by aileron 100%\noutput 2 by aileron -100%\n"+
				"0s signal on\n1s stir aileron for 60s\n62s end", seed)
			lines, refused := boardLines(t, h, 1)
			require.Zero(t, refused)
			boardLine, sent := pulsesOf(lines), h.Sim.Pulses()
			missing := len(sent) - len(boardLine)
			require.Less(t, missing, 20, "those before it woke up")
			sent = sent[missing:]
			ticks := unwrapped(boardLine)
			rate := float64(ticks[len(ticks)-1]-ticks[0]) * 500 / float64(sent[len(sent)-1].Rise-sent[0].Rise)
			require.InDelta(t, 1, rate, c.ppm/1e6)
			worst = max(worst, rate-1, 1-rate)
			for i, l := range boardLine {
				width, rise := float64(sent[i].Width)*rate, float64(sent[i].Rise-sent[0].Rise)*rate
				late := l.at - sent[i].Rise - sent[i].Width
				right := sent[i].Output == l.output && (boardLine[0].seq+int64(i))%65536 == l.seq &&
					math.Abs(width-float64(l.width)) <= 501 && math.Abs(rise-float64(ticks[i]-ticks[0])*500) <= 1000 &&
					0 < late && late < 6*ms
				require.True(t, right, "%+v for %+v, %f ns after the first", l, sent[i], rise)
			}
			if boardLine[len(boardLine)-1].rise < boardLine[0].rise {
				wrapped++
			}
		}
		assert.Greater(t, worst, c.ppm/1e6/10, "no clock is right")
	}
	assert.Positive(t, wrapped, "some clocks wrap within a minute")
}

// A line about the board comes as it wakes up and then each second.
func TestBoardTellsOfItself(t *testing.T) {
	h := simtest.Run(t, bareLeads+"output 1 by aileron 100%\n0s signal on\n10500ms end", 2)
	lines, _ := boardLines(t, h, 1)
	require.True(t, lines[0].about, "first of all")
	var at []int64
	for _, l := range lines {
		if l.about {
			at = append(at, l.at)
			assert.Zero(t, l.dropped)
		}
	}
	require.Len(t, at, 11)
	for i := range at[1:] {
		assert.InDelta(t, second, at[i+1]-at[i], float64(5*ms))
	}
}

// Lost lines leave gaps in the numbers; wrong ones don't pass the sum.
func TestLostAndWrongLines(t *testing.T) {
	for _, trouble := range []string{"lost", "wrong"} {
		h := simtest.Run(t, bareLeads[:len(bareLeads)-1]+" "+trouble+" 2%\noutput 1 by aileron 100%\noutput 2 by aileron 100%\n0s signal on\n30s end", 2)
		lines, refused := boardLines(t, h, 1)
		boardLine := pulsesOf(lines)
		var lacking int64
		for i := range boardLine[1:] {
			lacking += (boardLine[i+1].seq-boardLine[i].seq+65536)%65536 - 1
		}
		want := len(h.When("line", "leads", trouble))
		assert.InDelta(t, 0.02*3000, want, 30)
		assert.InDelta(t, want, lacking, 1, trouble)
		if trouble == "wrong" {
			assert.InDelta(t, want, refused, 3, "two lines, or none, where the end is hit")
		} else {
			assert.Zero(t, refused)
		}
	}
}

// A restart begins anew in the middle of a line; so does power that comes back with
// the plug.
func TestBoardRestarts(t *testing.T) {
	h := simtest.Run(t, bareLeads+"adapter leads clump 100us\noutput 1 by aileron 100%\noutput 2 by aileron 100%\noutput 3 by aileron 100%\n"+
		"0s signal on\n5s restart leads\n8s unplug leads\n9s plug leads\n12s end", 6)
	lines, refused := boardLines(t, h, 1)
	assert.LessOrEqual(t, refused, 2)
	var starts []int64
	for i, l := range lines[1:] {
		if lines[i].about && !l.about && l.seq == 0 {
			starts = append(starts, l.at)
			assert.Less(t, l.rise*500, 50*ms, "its clock begins anew")
		}
	}
	require.Len(t, starts, 2)
	assert.InDelta(t, 5100*ms, starts[0], float64(60*ms))
	assert.InDelta(t, 9100*ms, starts[1], float64(60*ms))
	assert.Len(t, h.When("board", "leads", "restarted"), 2)
	assert.Equal(t, []int64{8 * second}, h.When("cable", "leads", "unplugged"))
	for _, d := range h.Deliveries {
		require.False(t, d.Tap == 1 && d.Kind == world.Data && 8*second < d.At && d.At < 9*second)
	}
}

// A line of 500 000 baud has no room for eight outputs at 333 Hz: the board counts
// what it could not report, and what it reports is right. It has no input for the ninth.
func TestBoardDropsWhatDoesNotFit(t *testing.T) {
	text := bareLeads
	for output := range 9 {
		text += fmt.Sprintf("output %d by aileron 100%% every 3ms\n", output+1)
	}
	h := simtest.Run(t, text+"0s signal on\n5s end", 2)
	lines, refused := boardLines(t, h, 1)
	require.Zero(t, refused)
	pulses := pulsesOf(lines)
	lacking := int64(0)
	for i := range pulses[1:] {
		lacking += (pulses[i+1].seq - pulses[i].seq + 65535) % 65536
		require.LessOrEqual(t, pulses[i].output, 8)
	}
	dropped := int64(0)
	for _, l := range lines {
		if l.about {
			require.GreaterOrEqual(t, l.dropped, dropped)
			dropped = l.dropped
		}
	}
	want := len(h.When("board", "leads", "dropped"))
	assert.Greater(t, want, 2000)
	assert.InDelta(t, want, dropped, 1000, "as of its last line")
	assert.InDelta(t, want, lacking, 50, "a number that is lacking tells where; the last ones have none behind them")
	assert.InDelta(t, 5*second/(3*ms)*8, len(pulses)+want, 400)

	again, _ := boardLines(t, simtest.Run(t, text+"0s signal on\n5s restart leads\n5500ms end", 2), 1)
	about := slices.DeleteFunc(again, func(l boardLine) bool { return !l.about })
	assert.Zero(t, about[len(about)-1].dropped, "counted from its start")
}

func TestBoardsOwnAdapter(t *testing.T) {
	clumped := simtest.Run(t, bareLeads+"adapter leads clump 16ms\noutput 1 by aileron 100%\n0s signal on\n5s end", 2)
	prompt := simtest.Run(t, bareLeads+"output 1 by aileron 100%\n0s signal on\n5s end", 2)
	assert.Equal(t, prompt.Bytes(0), clumped.Bytes(0))
	assert.Equal(t, prompt.Bytes(1), clumped.Bytes(1))
	assert.Greater(t, len(prompt.Deliveries), len(clumped.Deliveries))
}

// What decodes boards takes every line of this one, and has the same pulses.
func TestBoardIsUnderstood(t *testing.T) {
	for _, name := range []string{"wing", "elevon", "vtail"} {
		h := simtest.Play(simtest.Named(t, name), 9)
		var lines pulse.BoardDecoder
		var got []pulse.Pulse
		lines.Feed(h.Bytes(1), false, func(p *pulse.Pulse) { got = append(got, *p) })
		require.Equal(t, int64(len(h.Bytes(1))), lines.Account().Taken, name)
		sent := h.Sim.Pulses()
		sent = sent[len(sent)-len(got):]
		require.Greater(t, len(got), 12_000)
		for i, p := range got {
			require.True(t, p.Output == sent[i].Output && math.Abs(float64(p.Width-sent[i].Width)) < 800, "%+v for %+v", p, sent[i])
		}
	}
}
