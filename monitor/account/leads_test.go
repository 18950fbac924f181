package account_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const winged = plain + "taps: {leads: {kind: pulses}}\noutputs:\n" +
	"  1: {surface: left, moved_by: {aileron: 1.0}}\n  2: {surface: right, moved_by: {aileron: 1.0}}\n"

// leadsRig is a session of servo leads alone: it says what the watchers of the leads would.
type leadsRig struct{ rig }

func newLeadsRig(t *testing.T, until string) *leadsRig {
	s, err := sheet.Read("m.yaml", []byte(winged))
	require.NoError(t, err)
	taps := []event.TapName{{Name: "leads", Kind: "pulses"}}
	r := &leadsRig{rig{t: t, a: account.New(s), v: base.NewView(s, taps)}}
	start, err := json.Marshal(event.Start{Taps: taps, Until: until})
	require.NoError(t, err)
	r.see(event.InputBegin, start)
	r.port(event.InputTapUp)
	r.hear(event.BoardHeard, "tap:leads", event.BoardHeardData{})
	r.back(1, 2)
	r.see(event.InputBeat, nil)
	return r
}

func (r *leadsRig) port(kind event.InputKind) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Kind: kind, Tap: 1}, &r.v, r.emit)
}

func (r *leadsRig) hear(kind, about string, data any) { r.hearAt(r.now, kind, about, data) }

func (r *leadsRig) hearAt(from unit.Time, kind, about string, data any) {
	r.a.Hear(&event.Event{At: r.now, From: from, Kind: kind, About: about, Data: data}, &r.v, r.emit)
}

func (r *leadsRig) back(outputs ...int) {
	for _, n := range outputs {
		r.hear(event.OutputBack, event.AboutOutput.Numbered(n), event.OutputBackData{})
	}
}

func (r *leadsRig) silent(from unit.Time, outputs ...int) {
	for _, n := range outputs {
		r.hearAt(from, event.OutputSilent, event.AboutOutput.Numbered(n), event.SilentData{})
	}
}

// width is a pulse of an output.
func (r *leadsRig) width(output int, w unit.Width) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: 1, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: output, Width: w}}, &r.v, r.emit)
}

// rest lets the time pass, with a pulse a second of each output at rest.
func (r *leadsRig) rest(d unit.Duration) {
	for end := r.now.Add(d); r.now < end; {
		r.now = r.now.Add(unit.Second)
		for n := 1; n <= 2; n++ {
			r.width(n, 1_500_000+unit.Width(r.now/unit.Time(unit.Second)%2)*1000)
		}
		r.see(event.InputBeat, nil)
	}
}

// pass lets the time pass without a pulse.
func (r *leadsRig) pass(d unit.Duration) {
	for end := r.now.Add(d); r.now < end; {
		r.now = r.now.Add(unit.Second)
		r.see(event.InputBeat, nil)
	}
}

func (r *leadsRig) leads() *state.TapAccount {
	s := r.shown()
	require.Len(r.t, s.Taps, 1)
	return &s.Taps[0]
}

func TestLeadsAlone(t *testing.T) {
	r := newLeadsRig(t, "")
	r.rest(8 * hour)
	got := r.leads()
	assert.Equal(t, &state.LeadsFigures{Outputs: []int{1, 2}}, got.Leads)
	assert.Equal(t, 8*hour, got.LiveNS)
	assert.Zero(t, got.Outages)
	assert.Equal(t, int64(2), got.OneInHours, "3.788 to the mean time, as for a bus: 8 h bear out one in 2")
	s := r.shown()
	assert.Contains(t, s.Proven[0], "leads, outputs 1, 2: No silence in 8 h")
	assert.Contains(t, s.Proven[0], "occasions of silences come no more often than once in 2 h on average, 95 % sure")
	assert.Contains(t, s.Proven[1], "at rest no drift was seen (an hour, 95 % sure): output 1 (left) 0 µs, give or take ")
	all := strings.Join(append(s.NotProven, account.Happened(s, nil)...), "\n")
	assert.Contains(t, all, "an unflagged hold could not have been seen")
	assert.NotContains(t, all, "heartbeat")
	assert.NotContains(t, all, "channel 1")
	assert.Contains(t, all, "leads: no silence of an output")
	assert.Contains(t, all, "output 1 (left): rested in 8 h")
	for _, e := range r.events {
		assert.NotEqual(t, event.SoakCounted, e.Kind, "limits are of a link")
	}
}

func TestSilencesOfOutputs(t *testing.T) {
	for name, c := range map[string]struct {
		do             func(r *leadsRig)
		silent, anew   int64 // by what fell silent: some, or all at once
		occasions      int64
		unseen, isOpen bool
	}{
		"one alone": {func(r *leadsRig) { r.silent(r.now, 1); r.rest(2 * unit.Second); r.back(1) }, 1, 0, 1, false, false},
		"all in step": {func(r *leadsRig) {
			r.silent(r.now, 1)
			r.silent(r.now.Add(250*unit.Millisecond), 2)
			r.rest(2 * unit.Second)
			r.back(1, 2)
		}, 0, 1, 1, false, false},
		"one behind the other": {func(r *leadsRig) {
			r.silent(r.now, 1)
			r.silent(r.now.Add(350*unit.Millisecond), 2)
			r.rest(2 * unit.Second)
			r.back(1, 2)
		}, 1, 0, 1, false, false},
		"over when both are back": {func(r *leadsRig) { r.silent(r.now, 1, 2); r.rest(unit.Second); r.back(1) }, 0, 0, 0, false, true},
		"twice in half an hour": {func(r *leadsRig) {
			for range 2 {
				r.silent(r.now, 1)
				r.rest(unit.Minute)
				r.back(1)
				r.rest(20 * unit.Minute)
			}
		}, 2, 0, 1, false, false},
		"a drill": {func(r *leadsRig) {
			r.v.Drill = "stir"
			r.rest(unit.Second)
			r.silent(r.now, 1)
			r.rest(unit.Second)
			r.back(1)
		}, 0, 0, 0, false, false},
		"its end not watched": {func(r *leadsRig) {
			r.silent(r.now, 1)
			r.rest(unit.Second)
			r.port(event.InputTapDown)
			r.pass(unit.Minute)
			r.port(event.InputTapUp)
			r.back(1)
			r.back(2)
		}, 1, 0, 1, true, false},
	} {
		t.Run(name, func(t *testing.T) {
			r := newLeadsRig(t, "")
			r.rest(unit.Minute)
			c.do(r)
			r.see(event.InputBeat, nil)
			got := r.leads()
			assert.Equal(t, [4]int64{0, 0, c.silent, c.anew}, got.Causes)
			assert.Equal(t, c.silent+c.anew, got.Outages)
			assert.Equal(t, c.anew, got.Restarts)
			if name == "a drill" {
				assert.Zero(t, got.Silences)
			}
			assert.Equal(t, c.occasions, got.Occasions)
			assert.Equal(t, c.isOpen, got.GoneSinceNS >= 0)
			if c.unseen {
				assert.True(t, got.Latest[0].Unseen)
			}
			if got.Outages > 0 {
				fell := map[bool][]int{false: {1}, true: {1, 2}}[name == "all in step" || name == "one behind the other"]
				assert.Equal(t, fell, got.Latest[0].Outputs)
			}
			s := r.shown()
			assert.Equal(t, s.UntilNS.Sub(s.SinceNS),
				got.LiveNS+got.OutageNS+got.WaitingNS+got.UnpluggedNS+got.DrillNS+s.StalledNS+s.StoppedNS, "the times add up")
			if got.Outages > 0 {
				assert.Contains(t, s.NotProven, "leads: which of receiver, supply, lead or a setting silenced outputs: that can't be told")
			}
		})
	}
}

// How long a silence was the board's clock says, whatever the computer read late.
func TestHowLongASilenceOfOutputsWas(t *testing.T) {
	const lasted = 420 * unit.Millisecond
	for name, c := range map[string]struct {
		read      unit.Duration // the pulse behind the silence was dated so long after the one before it
		from, out unit.Duration // the silence as it is counted, from where the latest second began, and time in it
	}{
		"on time":               {lasted, 0, 420 * unit.Millisecond},
		"all in one lump":       {0, -lasted, lasted},
		"its end was read late": {3 * unit.Second, 0, lasted},
	} {
		t.Run(name, func(t *testing.T) {
			r := newLeadsRig(t, "")
			r.rest(unit.Minute)
			began := r.now
			r.silent(began, 1)
			r.now = r.now.Add(c.read)
			r.hear(event.OutputBack, event.AboutOutput.Numbered(1), event.OutputBackData{SilentNS: lasted})
			got := r.leads()
			require.Len(t, got.Latest, 1)
			one := got.Latest[0]
			assert.Equal(t, lasted, one.ToNS.Sub(one.FromNS))
			assert.Equal(t, began.Add(c.from), one.FromNS)
			assert.Equal(t, lasted, got.LongestNS)
			assert.Equal(t, c.out, got.OutageNS)
			r.see(event.InputBeat, nil)
			s := r.shown()
			assert.Equal(t, s.UntilNS.Sub(s.SinceNS), s.Taps[0].LiveNS+s.Taps[0].OutageNS+s.Taps[0].WaitingNS+s.StalledNS, "the times add up")
		})
	}
}

func TestTimeOfLeadsThatCountsForNothing(t *testing.T) {
	r := newLeadsRig(t, "")
	r.rest(hour)
	r.hear(event.BoardSilent, "tap:leads", event.SilentData{})
	r.see(event.InputBeat, nil)
	r.pass(10 * unit.Minute)
	got := r.leads()
	assert.Equal(t, hour, got.LiveNS, "a board that says nothing shows nothing")
	assert.Equal(t, 10*unit.Minute, got.WaitingNS)
	r.hear(event.BoardHeard, "tap:leads", event.BoardHeardData{})
	r.hear(event.BoardLost, "tap:leads", event.BoardLostData{})
	r.see(event.InputBeat, nil)
	r.rest(unit.Minute)
	assert.Equal(t, hour+unit.Minute, r.leads().LiveNS)
	assert.Equal(t, int64(1), r.leads().Late)

	r.port(event.InputTapDown)
	r.pass(5 * unit.Minute)
	assert.Equal(t, 5*unit.Minute, r.leads().UnpluggedNS)
	r.port(event.InputTapUp)
	r.back(1)
	r.rest(5 * unit.Minute)
	assert.Equal(t, hour+unit.Minute, r.leads().LiveNS, "output 2 was heard before, and is not yet")
	r.back(2)
	r.see(event.InputBeat, nil)
	r.rest(5 * unit.Minute)
	assert.Equal(t, hour+6*unit.Minute, r.leads().LiveNS)
	assert.Equal(t, int64(1), r.leads().Unplugs)

	r.silent(r.now, 2)
	r.rest(unit.Minute)
	assert.Positive(t, r.leads().GoneSinceNS)
	assert.Equal(t, []int{2}, r.leads().Leads.Silent)
	assert.Contains(t, account.More(r.shown(), 0), "leads: output 2 must come back first")
	happened := strings.Join(account.Happened(r.shown(), func(unit.Time) string { return "then" }), "\n")
	assert.Contains(t, happened, "leads: no silence of an output that is over\n")
	assert.Contains(t, happened, "leads: then: output 2 went and did not come back\n")
	r.see(event.InputMark, []byte(event.ChangedMark))
	r.rest(unit.Minute)
	assert.Equal(t, []int{1}, r.leads().Leads.Outputs, "what is silent was taken off")
}

func TestOutputsThatLeaveWhereTheyRested(t *testing.T) {
	r := newLeadsRig(t, "12h quiet")
	r.rest(unit.Minute)
	r.width(1, 1_600_000)
	assert.Zero(t, r.leads().Leads.Leaps, "one of two")
	r.rest(unit.Minute)
	r.width(1, 1_600_000)
	r.width(2, 1_400_000)
	assert.Equal(t, int64(1), r.leads().Leads.Leaps)
	r.now = r.now.Add(200 * unit.Millisecond)
	r.width(1, 1_500_000)
	r.width(2, 1_500_000)
	assert.Equal(t, int64(1), r.leads().Leads.Leaps, "they did not rest there")
	s := r.shown()
	assert.Nil(t, s.Goal)
	assert.Contains(t, s.NotProven, "whether the goal is reached: it is one of the link, and no bus was listened to")
	assert.Contains(t, strings.Join(s.NotProven, "\n"), "the presets of a failsafe, can't be told")
}
