package watch_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

const lossSheet = plain + "failsafe: {flag: required, within: 1s, heard: {default: hold, throttle: {at_most: 1000}, inner: middle}}\n"

func newLoss() base.Watcher { return &link.Loss{Tap: 1} }

// settled are the events that say what stands in a failsafe.
func settled(list []event.Event) []event.Event {
	return slices.DeleteFunc(list, func(e event.Event) bool { return e.Kind != event.FailsafeSettled })
}

// lossesOf are the losses that were measured in a play.
func lossesOf(t *testing.T, play func(*rig)) (list []event.LossData) {
	for _, e := range reported(t, lossSheet, newLoss, play) {
		if d, ok := e.Data.(event.LossData); ok {
			assert.Equal(t, d.LiveNS, e.From)
			list = append(list, d)
		}
	}
	return list
}

// afar puts channels where no preset is.
func afar(r *rig) {
	r.put(1, 700)
	r.put(3, 1400)
	r.put(11, high)
	r.send(100)
}

// fails is a failsafe of a number of periods in all, the first 70 flagged as lost.
func fails(r *rig, frames int) {
	r.flagged(70, lost)
	r.flagged(frames-70, failed)
}

// prompt puts the failsafe drill to a step.
func prompt(r *rig, step string) {
	r.view.Drill, r.view.Prompt, r.view.PromptAt = drill.Failsafe, drill.Failsafe+"/soon/"+step, r.at
}

// round moves both axes of a stick without a pause.
func round(r *rig, frames int) {
	for n := range frames {
		a, b := n%60, (n+30)%60
		r.put(1, uint32(1000+12*min(a, 60-a)))
		r.put(2, uint32(900+11*min(b, 60-b)))
		r.send(1)
	}
}

func TestLoss(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want string // class of the only loss, "": there is none
		sees func(t *testing.T, d *event.LossData)
	}{
		{"a hold", func(r *rig) { afar(r); fails(r, 900); r.send(9) }, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, []unit.Duration{period, 71 * period, 901 * period}, []unit.Duration{d.LostNS, d.FailsafeNS, d.BackNS})
			assert.Equal(t, event.FlagClassInTime, d.Flag)
			assert.Equal(t, "flags", d.DatedBy)
		}},
		{"held for 4.5 s, then presets", func(r *rig) {
			afar(r)
			fails(r, 643)
			r.put(3, low)
			r.flagged(100, failed)
			r.put(3, 1400)
			r.send(9)
		}, "mixed", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, event.LossPreset, d.Channels[2].Class)
			assert.Equal(t, 644*period, d.Channels[2].HeldNS)
			assert.Equal(t, unit.Width(987_500), d.Channels[2].NowNS)
		}},
		{"held, then one stick at its end", func(r *rig) { afar(r); fails(r, 600); r.put(2, high); r.flagged(200, failed); r.send(9) }, "mixed",
			func(t *testing.T, d *event.LossData) { assert.Equal(t, event.LossPreset, d.Channels[1].Class) }},
		{"on its way when it ended", func(r *rig) {
			afar(r)
			fails(r, 600)
			for n := range 40 {
				r.put(2, uint32(middle-10*n))
				r.flagged(1, failed)
			}
			r.send(9)
		}, "under way", nil},
		{"back by way of missed frames", func(r *rig) {
			afar(r)
			fails(r, 900)
			r.put(3, low)
			r.put(11, middle)
			r.send(1)
			r.flagged(1, lost)
			r.send(3)
			r.flagged(2, lost)
			r.send(9)
		}, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, unit.Width(1_755_000), d.Channels[2].NowNS)
			assert.Equal(t, 908*period, d.BackNS, "the first of four")
		}},
		{"a flag that flickers", func(r *rig) {
			afar(r)
			fails(r, 120)
			r.send(2)
			r.flagged(2, lost)
			r.flagged(900, failed)
			r.send(9)
		}, "hold", func(t *testing.T, d *event.LossData) { assert.Equal(t, 71*period, d.FailsafeNS) }},
		{"wrong frames just before the border", func(r *rig) {
			afar(r)
			r.put(3, 100)
			r.send(3)
			r.put(3, 1400)
			fails(r, 900)
			r.send(9)
		}, "hold", func(t *testing.T, d *event.LossData) { assert.Equal(t, unit.Width(1_755_000), d.Channels[2].WasNS) }},
		{"just behind it", func(r *rig) {
			afar(r)
			r.put(3, 100)
			r.flagged(3, lost)
			r.put(3, 1400)
			fails(r, 900)
			r.send(9)
		}, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, unit.Width(1_755_000), d.Channels[2].WasNS)
			assert.Zero(t, d.SettledNS)
		}},
		{"in the middle", func(r *rig) {
			afar(r)
			fails(r, 300)
			r.put(3, 100)
			r.flagged(3, failed)
			r.put(3, 1400)
			r.flagged(600, failed)
			r.send(9)
		}, "hold", func(t *testing.T, d *event.LossData) { assert.Zero(t, d.SettledNS) }},
		{"a preset by the end of the flags alone is none", func(r *rig) { afar(r); fails(r, 900); r.put(3, low); r.send(9) }, "hold", nil},
		{"lost by one flag alone", func(r *rig) { afar(r); r.flagged(900, lost); r.send(9) }, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, event.FlagClassLostOnly, d.Flag)
			assert.Equal(t, unit.Duration(-1), d.FailsafeNS)
		}},
		{"missed for less than half a second", func(r *rig) { afar(r); r.flagged(72, lost); r.send(9) }, "", nil},
		{"three frames with the flag", func(r *rig) { afar(r); r.flagged(3, failed); r.send(9) }, "", nil},
		{"no frame flagged as lost before", func(r *rig) { afar(r); r.flagged(900, failed); r.send(9) }, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, "unknown", d.DatedBy)
			assert.Equal(t, event.FlagClassInTime, d.Flag)
		}},
		{"a flag that comes late", func(r *rig) { afar(r); r.flagged(143, lost); r.flagged(700, failed); r.send(9) }, "hold",
			func(t *testing.T, d *event.LossData) { assert.Equal(t, event.FlagClassLate, d.Flag) }},
		{"before the first link", func(r *rig) { fails(r, 900); r.send(9) }, "", nil},
		{"a brown-out", func(r *rig) { afar(r); r.silence(700 * ms); r.put(3, low); fails(r, 900); r.send(9) }, "", nil},
		{"a gap of the line in a loss", func(r *rig) { afar(r); fails(r, 300); r.silence(286 * ms); r.flagged(500, failed); r.send(9) }, "hold",
			func(t *testing.T, d *event.LossData) { assert.Equal(t, unit.Duration(-1), d.SilentNS) }},
		{"behind a longer one it may have begun anew", func(r *rig) {
			afar(r)
			fails(r, 300)
			r.silence(293 * ms)
			r.put(3, low)
			r.flagged(500, failed)
			r.put(3, 1400)
			r.send(9)
		}, "hold", nil},
		{"never back", func(r *rig) { afar(r); fails(r, 900); r.down() }, "hold", func(t *testing.T, d *event.LossData) {
			assert.Equal(t, unit.Duration(-1), d.BackNS)
			assert.Equal(t, 900*period, d.EndedNS)
		}},
		{"in the power-up drill nothing is lost", func(r *rig) { afar(r); r.view.Drill = drill.PowerUp; fails(r, 900); r.send(9) }, "", nil},
		{"a link goes on over a gap of the line", func(r *rig) { r.send(100); r.silence(200 * ms); afar(r); fails(r, 900); r.send(9) }, "hold",
			func(t *testing.T, d *event.LossData) { assert.Equal(t, 199*period+200*ms, d.UpNS) }},
		{"and not over a longer one", func(r *rig) { r.send(100); r.silence(300 * ms); afar(r); fails(r, 900); r.send(9) }, "hold",
			func(t *testing.T, d *event.LossData) { assert.Equal(t, 99*period, d.UpNS) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := lossesOf(t, c.play)
			if c.want == "" {
				assert.Empty(t, list)
				return
			}
			require.Len(t, list, 1)
			assert.Equal(t, event.LossClass(c.want), list[0].Class)
			if c.sees != nil {
				c.sees(t, &list[0])
			}
		})
	}
}

// What the drill knows besides flags: that a stick is kept moving, and the builder's word.
func TestLossInTheDrill(t *testing.T) {
	const wait = 1400 // 9.8 s
	end := func(r *rig) {
		prompt(r, event.PromptOn)
		r.send(50)
		prompt(r, event.PromptBack)
		r.put(1, middle)
		r.put(2, middle)
		r.put(3, low)
		r.send(20)
	}
	begin := func(r *rig) { afar(r); prompt(r, event.PromptOff); round(r, 300) }
	for _, c := range []struct {
		name string
		play func(*rig)
		want string
		by   string
	}{
		{"a freeze", func(r *rig) { begin(r); r.send(300); prompt(r, event.PromptSettle); r.send(wait); end(r) }, "hold", "stirred"},
		{"and flags behind it in time", func(r *rig) { begin(r); fails(r, 900); prompt(r, event.PromptOn); fails(r, 90); r.send(9) }, "hold", "flags"},
		{"off said, and nothing moved", func(r *rig) {
			afar(r)
			prompt(r, event.PromptOff)
			r.send(100)
			prompt(r, event.PromptSettle)
			r.send(wait)
			end(r)
		}, "unclear", "builder"},
		{"off said, and the stick went on for 3 s and came to rest", func(r *rig) {
			begin(r)
			prompt(r, event.PromptSettle)
			round(r, 430)
			stroke(r, middle, 30, 1, 1)
			stroke(r, 1200, 30, 1, 2)
			r.send(wait)
			end(r)
		}, "none", "builder"},
		{"off said a moment before the stick froze", func(r *rig) { begin(r); prompt(r, event.PromptSettle); round(r, 70); r.send(wait); end(r) }, "hold", "stirred"},
		{"off said too soon, and flags behind", func(r *rig) {
			afar(r)
			prompt(r, event.PromptOff)
			r.send(100)
			prompt(r, event.PromptSettle)
			r.send(400)
			fails(r, 900)
			r.send(9)
		}, "hold", "flags"},
		{"a hiccup of the line while it is waited for", func(r *rig) {
			begin(r)
			r.silence(110 * ms)
			round(r, 300)
			r.send(300)
			prompt(r, event.PromptSettle)
			r.send(wait)
			end(r)
		}, "hold", "stirred"},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := lossesOf(t, c.play)
			require.Len(t, list, 1)
			assert.Equal(t, event.LossClass(c.want), list[0].Class)
			assert.Equal(t, c.by, list[0].DatedBy)
			assert.Equal(t, unit.Duration(-1), list[0].SilentNS)
		})
	}
}

func TestHowFarALossIs(t *testing.T) {
	reported(t, lossSheet, newLoss, func(r *rig) {
		phase := func(want string) { t.Helper(); assert.Equal(t, want, r.view.Taps[1].Loss) }
		afar(r)
		prompt(r, event.PromptOff)
		phase("")
		r.flagged(70, lost)
		phase("")
		r.flagged(10, failed)
		phase(event.PhaseLost)
		r.flagged(636, failed) // 5.005 s, three frames late
		phase(event.PhaseLost)
		r.flagged(2, failed)
		phase(event.PhaseSettled)
		r.send(9)
		phase(event.PhaseBack)
		prompt(r, "wait")
		r.send(1)
		phase("")
		prompt(r, event.PromptOff)
		r.send(1)
		phase("")
	})
}

// What leapt back with the signal is the transmitter's.
func TestTheReturnIsNoJump(t *testing.T) {
	reported(t, lossSheet, newLoss, func(r *rig) {
		afar(r)
		prompt(r, event.PromptOff)
		round(r, 300)
		r.send(300)
		prompt(r, event.PromptSettle)
		r.send(1400)
		prompt(r, event.PromptOn)
		r.send(50)
		leap(r, 3, 0)
		r.send(9)
		assert.False(t, r.view.Taps[1].Suspect)
		assert.Greater(t, r.view.Taps[1].Back, r.at.Add(-10*period))
	})
}

// late sends frames that were read at once.
func (r *rig) late(frames int) {
	for range frames {
		f := r.frame
		r.see(&event.Observation{At: r.at, Wire: r.at, Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: r.period, Late: true}})
	}
}

// What was read late has no dates: behind it flags date no loss, and one that is under way goes on
// where it was short, and is watched no further where the receiver may have begun anew.
func TestLossReadLate(t *testing.T) {
	assert.Empty(t, lossesOf(t, func(r *rig) { afar(r); r.late(40); fails(r, 900); r.send(9) }), "it went meanwhile")
	assert.Len(t, lossesOf(t, func(r *rig) { afar(r); r.late(40); r.send(9); fails(r, 900); r.send(9) }), 1)
	stalls := func(unheard unit.Duration) event.LossData {
		list := lossesOf(t, func(r *rig) {
			afar(r)
			r.flagged(100, lost)
			r.at = r.at.Add(unheard)
			r.frame.Flags = lost
			r.late(20)
			r.flagged(600, lost|failed)
			r.send(9)
		})
		require.Len(t, list, 1)
		return list[0]
	}
	goesOn := stalls(200 * ms)
	assert.Equal(t, 101*period+200*ms, goesOn.FailsafeNS)
	assert.Greater(t, goesOn.WatchedNS, 4*unit.Second)
	other := stalls(400 * ms)
	assert.Equal(t, unit.Duration(-1), other.FailsafeNS)
	assert.Equal(t, 100*period, other.WatchedNS)
}

// Where nothing is heard behind a silence, what was sent may lie waiting in the port, unless the silence is long: for as
// long as the computer was awake.
func TestALossThatEndsInSilence(t *testing.T) {
	for silent, want := range map[int]bool{2: false, 4: false, 5: true, 60: true} { // seconds, each with its beat
		for name, ends := range map[string]func(r *rig){
			"unplugged": func(r *rig) { r.down() },
			"a gap":     func(r *rig) { r.see(&event.Observation{At: r.at, Kind: event.InputRecordingGap}) },
			"the end":   func(r *rig) { r.see(&event.Observation{At: r.at, Kind: event.InputEnd}) },
		} {
			for _, last := range []unit.Duration{0, unit.Minute} { // in which the computer stood still
				list := lossesOf(t, func(r *rig) {
					afar(r)
					r.flagged(100, lost)
					for range silent {
						r.silence(unit.Second)
						r.see(&event.Observation{At: r.at, Kind: event.InputBeat})
					}
					r.silence(last)
					ends(r)
				})
				require.Len(t, list, 1, name)
				assert.Equal(t, want, list[0].SilentNS >= 0, "%s behind %v s and %v: %+v", name, silent, last, list[0])
				assert.Equal(t, want, list[0].Class == event.LossSilent, name)
			}
		}
	}
}

// Where no frame is heard for a while, the flag and the values that are there behind it may have come in that time.
func TestLossOverAHole(t *testing.T) {
	for name, c := range map[string]struct {
		hole          unit.Duration // behind 100 frames flagged as lost
		later         bool          // values move a while behind it
		again         int           // so many flagged as failsafe, too few to be believed, and such a hole again
		flag, settled unit.Duration
	}{
		"one, and a move later":   {hole: 200 * ms, later: true, flag: 207 * ms},
		"none":                    {},
		"a short one":             {hole: 90 * ms},
		"one":                     {hole: 200 * ms, flag: 207 * ms, settled: 256 * ms},
		"two, and little between": {hole: 150 * ms, again: 3, flag: 328 * ms, settled: 377 * ms},
	} {
		t.Run(name, func(t *testing.T) {
			list := lossesOf(t, func(r *rig) {
				afar(r)
				r.flagged(100, lost)
				r.silence(c.hole)
				if c.later {
					r.flagged(100, failed)
				}
				r.put(3, 40)
				if c.again > 0 {
					r.flagged(c.again, failed)
					r.silence(c.hole)
				}
				r.flagged(600, failed)
				r.send(9)
			})
			require.Len(t, list, 1)
			assert.Equal(t, []unit.Duration{c.flag, c.settled}, []unit.Duration{list[0].FlagUnheardNS, list[0].SettledUnheardNS}, "%+v", list[0])
		})
	}
}

// So may the signal that is back.
func TestTheReturnOverAHole(t *testing.T) {
	beat := func(r *rig) { r.see(&event.Observation{At: r.at, Kind: event.InputBeat}) }
	flags := func(r *rig) { r.flagged(900, failed) }
	for name, c := range map[string]struct {
		goesOn, comes func(*rig) // until the transmitter is on again, and behind that
		want          unit.Duration
	}{
		"none":                 {flags, func(r *rig) { r.flagged(100, failed) }, 0},
		"a short one":          {flags, func(r *rig) { r.silence(90 * ms) }, 0},
		"one":                  {flags, func(r *rig) { r.silence(200 * ms) }, 207 * ms},
		"frames read late":     {flags, func(r *rig) { r.silence(250 * ms); r.late(40) }, 257 * ms},
		"a silence":            {func(r *rig) { r.silence(2 * unit.Second); beat(r) }, func(r *rig) { r.silence(3 * unit.Second); beat(r) }, 0},
		"and frames read late": {func(r *rig) { r.silence(2 * unit.Second); beat(r) }, func(r *rig) { r.silence(3 * unit.Second); r.late(40) }, 5007 * ms},
	} {
		t.Run(name, func(t *testing.T) {
			list := lossesOf(t, func(r *rig) {
				afar(r)
				prompt(r, event.PromptOff)
				r.flagged(100, lost)
				c.goesOn(r)
				prompt(r, event.PromptOn)
				prompt(r, event.PromptBack)
				beat(r)
				c.comes(r)
				r.send(9)
			})
			require.Len(t, list, 1)
			require.GreaterOrEqual(t, list[0].BackNS, unit.Duration(0))
			assert.Equal(t, c.want, list[0].BackUnheardNS, "%+v", list[0])
		})
	}
}

// A silence behind which it turns out that frames lay waiting was none: a loss that it alone
// showed is none, and another one is watched as far as it was heard.
func TestLossSilentAndReadLate(t *testing.T) {
	waits := func(r *rig) {
		r.view.Taps[1].Locked = false
		r.see(&event.Observation{At: r.at.Add(2 * unit.Second), Kind: event.InputBeat})
		r.view.Taps[1].Locked = true
		r.at = r.at.Add(3 * unit.Second)
		r.late(400)
	}
	none := lossesOf(t, func(r *rig) {
		r.send(100)
		round(r, 100)
		prompt(r, "off")
		round(r, 100)
		waits(r)
		r.send(100)
	})
	assert.Empty(t, none)
	list := lossesOf(t, func(r *rig) { afar(r); r.flagged(100, lost); waits(r); r.flagged(100, lost|failed); r.send(9) })
	require.Len(t, list, 1)
	assert.Equal(t, []unit.Duration{-1, 100 * period}, []unit.Duration{list[0].SilentNS, list[0].WatchedNS})

	twice := lossesOf(t, func(r *rig) { // neither silence is long enough to be one, nor are both
		quiet := func() {
			for range 4 {
				r.silence(unit.Second)
				r.see(&event.Observation{At: r.at, Kind: event.InputBeat})
			}
		}
		afar(r)
		r.flagged(100, lost)
		quiet()
		r.late(400)
		r.flagged(100, lost)
		quiet()
		r.down()
	})
	require.Len(t, twice, 1)
	assert.Equal(t, unit.Duration(-1), twice[0].SilentNS)

	before := lossesOf(t, func(r *rig) { // what came behind frames that were read late is not looked at, however it ends
		afar(r)
		r.flagged(100, lost)
		r.silence(400 * ms)
		r.late(40)
		r.flagged(600, lost|failed)
		for range 2 {
			r.silence(unit.Second)
			r.see(&event.Observation{At: r.at, Kind: event.InputBeat})
		}
		r.down()
	})
	require.Len(t, before, 1)
	assert.Equal(t, []unit.Duration{-1, 100 * period}, []unit.Duration{before[0].FailsafeNS, before[0].WatchedNS})
}
