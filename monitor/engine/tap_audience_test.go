package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const framePeriod = 14 * unit.Millisecond

// wireOf is the wire time of a frame, from 1.
func wireOf(frame int64) unit.Time { return unit.Time(0).Add(unit.Duration(frame) * framePeriod) }

// sleeper is a watcher that rests as it is told to. It keeps whether frames were shown to it or
// taken behind its sleep, each once and in order, as "shown 9, slept 4".
type sleeper struct {
	t     *testing.T
	needs base.ChannelSet
	until unit.Time
	frame int64 // the latest
	how   []string
}

func (s *sleeper) takes(how string, wire unit.Time) {
	s.frame++
	require.Equal(s.t, wireOf(s.frame), wire, "frame %d, %s", s.frame, how)
	s.how = append(s.how, how)
}

func (s *sleeper) See(o *event.Observation, _ *base.View, _ event.Emit) {
	if o.Kind == event.FrameSeen {
		s.takes("shown", o.Wire)
	}
}

func (s *sleeper) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) { return s.needs, s.until }

func (s *sleeper) Pass(n int, c base.Calm, _ *base.View) {
	for before := int64(n) - 1; before >= 0; before-- {
		s.takes("slept", c.Wire(before))
	}
}

func (s *sleeper) String() string {
	var list []string
	for from := 0; from < len(s.how); {
		to := from
		for to < len(s.how) && s.how[to] == s.how[from] {
			to++
		}
		list, from = append(list, fmt.Sprint(s.how[from], " ", to-from)), to
	}
	return strings.Join(list, ", ")
}

// teller is a watcher that never sleeps, and changes the view with one frame.
type teller struct {
	at   unit.Time // wire time of that frame
	tell func(v *base.View)
}

func (w *teller) See(o *event.Observation, v *base.View, _ event.Emit) {
	if o.Kind == event.FrameSeen && o.Wire == w.at && w.tell != nil {
		w.tell(v)
	}
}

func (*teller) Due() unit.Time { return wireOf(1000) }

func (*teller) Expire(unit.Time, *base.View, event.Emit) {}

// among is a sleeper between two that tell something with a frame.
func among(t *testing.T, before, s, behind base.Watcher) (audience, base.View) {
	sh, err := sheet.Read("asleep", sheettest.TwoSwitches())
	require.NoError(t, err)
	v := base.NewView(sh, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "second", Kind: "bus"}})
	for i := range v.Taps {
		v.Taps[i].Locked, v.Taps[i].Linked, v.Taps[i].Signal = true, true, event.SignalLive
	}
	a := newAudience([]base.Listed{{Watcher: before, Alone: 1}, {Watcher: s, Alone: 1}, {Watcher: behind, Alone: 1}}, len(v.Taps))
	a.see(&event.Observation{Kind: event.InputBeat}, &v, nil)
	return a, v
}

// A watcher that rests is asked behind eight calm frames, which the first, with nothing before it,
// is none of. The 14th is another one, or something comes or is told with it; the 30th is the last.
func TestWhatWakesASleeper(t *testing.T) {
	const (
		sleepsOn   = "shown 9, slept 21"
		keepsARun  = "shown 9, slept 4, shown 4, slept 13" // it is asked again behind the 16th calm frame
		atOnce     = "shown 9, slept 4, shown 1, slept 16"
		endsARun   = "shown 9, slept 4, shown 9, slept 8"  // the next calm frame is the first of another run
		isNoBase   = "shown 9, slept 4, shown 10, slept 7" // nor does the next frame follow it
		staysAwake = "shown 9, slept 4, shown 17"
	)
	of := func(kind event.InputKind, tap uint8) *event.Observation {
		return &event.Observation{Kind: kind, Tap: tap}
	}
	doubt := func(v *base.View) { v.Taps[1].Leapt = true }
	for name, x := range map[string]struct {
		needs  base.ChannelSet
		until  int64                           // the frame at which its time comes, 0: never
		frame  func(o *event.Observation)      // how the 14th differs
		comes  func(a *audience, v *base.View) // before the 14th
		before func(v *base.View)              // what a watcher before it in the list tells with the 14th
		behind func(v *base.View)              // and one behind it
		want   string
	}{
		"nothing":                      {want: sleepsOn},
		"a channel that it needs":      {needs: 1 << 4, frame: func(o *event.Observation) { o.Frame.Counts[4]++ }, want: keepsARun},
		"another channel":              {needs: 1 << 4, frame: func(o *event.Observation) { o.Frame.Counts[3]++ }, want: sleepsOn},
		"a digital channel":            {needs: 2 << bus.MaxChannels, frame: func(o *event.Observation) { o.Frame.Flags = 2 }, want: keepsARun},
		"its time":                     {until: 14, want: staysAwake},
		"a damaged frame":              {frame: func(o *event.Observation) { o.Frame.Bad = true }, want: isNoBase},
		"a flag of the link":           {frame: func(o *event.Observation) { o.Frame.Flags = bus.Lost }, want: isNoBase},
		"one missing":                  {frame: func(o *event.Observation) { o.Pace.Missing = 1 }, want: endsARun},
		"a doubt before it":            {before: doubt, want: staysAwake},
		"a doubt behind it":            {behind: doubt, want: "shown 9, slept 5, shown 16"},
		"a drill that begins":          {before: func(v *base.View) { v.Drill = "order" }, want: staysAwake},
		"what is no doubt":             {before: func(v *base.View) { v.Taps[1].Pressed = true }, want: sleepsOn},
		"a deadline":                   {comes: func(a *audience, v *base.View) { a.next(unit.Never, v) }, want: keepsARun},
		"a deadline that has not come": {comes: func(a *audience, v *base.View) { a.next(0, v) }, want: sleepsOn},
		"a beat":                       {comes: func(a *audience, v *base.View) { a.see(of(event.InputBeat, 0), v, nil) }, want: atOnce},
		"a mark":                       {comes: func(a *audience, v *base.View) { a.see(of(event.InputMark, 0), v, nil) }, want: endsARun},
		"bytes refused":                {comes: func(a *audience, v *base.View) { a.see(of(event.BytesRefused, 1), v, nil) }, want: endsARun},
		"bytes of another tap":         {comes: func(a *audience, v *base.View) { a.see(of(event.BytesRefused, 2), v, nil) }, want: sleepsOn},
	} {
		t.Run(name, func(t *testing.T) {
			s := &sleeper{t: t, needs: x.needs, until: unit.Never}
			if x.until != 0 {
				s.until = wireOf(x.until)
			}
			a, v := among(t, &teller{wireOf(14), x.before}, s, &teller{wireOf(14), x.behind})
			for frame := range int64(30) {
				o := &event.Observation{
					At: wireOf(frame + 1), Wire: wireOf(frame + 1), Tap: 1, Kind: event.FrameSeen,
					Frame: &bus.Frame{}, Pace: event.Pace{Known: true, Period: framePeriod},
				}
				if frame+1 == 14 && x.comes != nil {
					x.comes(&a, &v)
				}
				if frame+1 == 14 && x.frame != nil {
					x.frame(o)
				}
				a.see(o, &v, nil)
			}
			a.wake(&v)
			assert.Equal(t, x.want, s.String())
			assert.Equal(t, int64(30), s.frame)
		})
	}
}
