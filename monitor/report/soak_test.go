package report_test

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	hour      = 60 * unit.Minute
	perSecond = 111 // frames, one each 9 ms
)

// declared is what the sheet of a soak says of it.
const declared = "soak: {distance: 3 m, mode: off, outputs: unplugged, receiver_supply: \"5.0 V, limited to 3 A\"}\n"

// soakRun is a long run in no time: the account is told, second by second, what watchers would
// have seen.
type soakRun struct {
	a      *account.Account
	v      base.View
	now    unit.Time
	random *rand.Rand
}

func newSoakRun(t testing.TB, s *sheet.Sheet, taps ...string) *soakRun {
	t.Helper()
	r := &soakRun{a: account.New(s), random: rand.New(rand.NewPCG(17, 3))}
	start := event.Start{}
	for _, name := range taps {
		start.Taps = append(start.Taps, event.TapName{Name: name, Kind: "bus"})
	}
	r.v = base.NewView(s, start.Taps)
	data, err := json.Marshal(start)
	require.NoError(t, err)
	for i := range taps {
		base.NewCleaned(&r.v, uint8(i+1)).Window = []base.CleanFrame{atRest()}
	}
	r.see(event.InputBegin, event.BenchTap, data)
	for i := range taps {
		r.see(event.InputTapUp, uint8(i+1), nil)
		r.signal(uint8(i+1), true)
	}
	return r
}

// atRest is a frame of sticks that stand in the middle.
func atRest() (f base.CleanFrame) {
	for i := range f.Counts {
		f.Counts[i] = 992
	}
	return f
}

func nowhere(string, unit.Time, string, any) {}

func (r *soakRun) see(kind event.InputKind, tap uint8, data []byte) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Kind: kind, Tap: tap, Data: data}, &r.v, nowhere)
}

func (r *soakRun) frame(tap uint8) {
	r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: tap, Kind: event.FrameSeen, Frame: &bus.Frame{}}, &r.v, nowhere)
}

// signal says whether a receiver hears its transmitter, and has a frame show it.
func (r *soakRun) signal(tap uint8, there bool) {
	w := &r.v.Taps[tap]
	w.Locked, w.Linked, w.Signal, w.Loss, w.LossAt = true, there, event.SignalLive, "", 0
	if !there {
		w.Linked, w.Signal, w.Loss, w.LossAt = false, event.SignalFailsafe, event.PhaseLost, r.now
	}
	r.frame(tap)
}

// goOn lets the time pass; in so many of a thousand seconds a run of up to four frames is missed.
func (r *soakRun) goOn(d unit.Duration, perMille int) {
	for end := r.now.Add(d); r.now < end; {
		r.now = r.now.Add(unit.Second)
		for tap := 1; tap < len(r.v.Taps); tap++ {
			w := &r.v.Taps[tap]
			if !w.Linked {
				continue
			}
			w.Tally.LinkFrames += perSecond
			if r.random.IntN(1000) < perMille {
				w.Tally.LinkMissed += int64(1 + r.random.IntN(4))
				w.Tally.LinkMissedRuns++
				r.frame(uint8(tap))
			}
		}
		r.see(event.InputBeat, event.BenchTap, nil)
	}
}

// lose loses the signal of the first bus for so long.
func (r *soakRun) lose(d unit.Duration) {
	r.signal(1, false)
	about := event.AboutTap.Called("main")
	r.a.Hear(&event.Event{At: r.now, From: r.now, Kind: event.FailsafeEntered, About: about, Data: event.FailsafeData{}}, &r.v, nowhere)
	r.goOn(d, 0)
	r.signal(1, true)
}

// stop lets nobody listen for so long.
func (r *soakRun) stop(d unit.Duration) {
	r.see(event.InputEnd, event.BenchTap, nil)
	r.now = r.now.Add(d)
	r.see(event.InputResume, event.BenchTap, nil)
	for tap := 1; tap < len(r.v.Taps); tap++ {
		r.see(event.InputTapUp, uint8(tap), nil)
		r.signal(uint8(tap), true)
	}
}

// soaked is a copy of a record, under a sheet that declares a soak, that has such a run.
func soaked(t testing.TB, r *record.Record, declared string, run func(*soakRun), taps ...string) *record.Record {
	t.Helper()
	of := *r
	of.Sheet += declared
	s, err := sheet.Read("the record's sheet", []byte(of.Sheet))
	require.NoError(t, err)
	if len(taps) == 0 {
		taps = []string{"main"}
	}
	one := newSoakRun(t, s, taps...)
	run(one)
	of.Account, of.LengthNS = one.a.Show(&one.v), unit.Duration(one.now)
	return &of
}

// aLongWeekend is a run with what a run may have.
func aLongWeekend(r *soakRun) {
	r.goOn(9*hour+20*unit.Minute, 2)
	r.lose(4 * unit.Second)
	r.goOn(11*unit.Minute, 40)
	r.lose(2 * unit.Second)
	r.goOn(21*hour, 2)
	r.stop(3*hour + 30*unit.Minute)
	r.goOn(20*hour, 0)
	r.see(event.InputMark, event.BenchTap, []byte(event.PhoneMark))
	r.goOn(40*unit.Minute, 300)
	r.see(event.InputMark, event.BenchTap, []byte(event.PhoneAwayMark))
	r.goOn(7*hour, 3)
	r.lose(unit.Second)
	r.goOn(8*hour+10*unit.Minute, 1)
}

// Who has nothing but this page knows how long it was watched, what happened, what is proven,
// and what is not.
func TestThePageOfALongRun(t *testing.T) {
	_, before, _ := smallSitting(t)
	r := soaked(t, before, declared, aLongWeekend)
	data, err := r.Encode()
	require.NoError(t, err)
	require.NoError(t, valid(t, compiled(t), data))
	text := printed(t, r, nil, page.Options{})
	selfContained(t, text)
	soak := section(t, text, "soak")
	golden(t, "testdata/soak/soak.html", soak)
	words := plain(textOf(t, soak))
	for _, of := range [][]string{r.Account.Proven, r.Account.NotProven, account.Declared(r.Account), account.Cautions} {
		for _, sentence := range of {
			assert.Contains(t, words, plain(sentence), "the account's words")
		}
	}
	for _, want := range []string{
		"outage: the receiver had", "3 outages on 2 occasions in 65 h 40 min, one occasion in 32 h 50 min",
		"distance: 3 m", "transmitter's supply: not declared", "not watched for 3 h 30 min",
		"40 min with a phone at the model", "the worst hour began 2 May 18:00:00",
		"at rest no drift was seen (an hour, 95 % sure): channel 1 (aileron) 0 µs, give or take 0.1 µs",
		"more of a live link without an outage would prove", "No lithium pack that nobody watches",
	} {
		assert.Contains(t, words, want)
	}
	assert.Less(t, strings.Index(text, `id="soak"`), strings.Index(text, `id="wrong"`), "right behind the first page")
}

// plain is a text with one ordinary space wherever it has any.
func plain(s string) string { return strings.Join(strings.Fields(s), " ") }
