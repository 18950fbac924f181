package monitor_test

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// present is a sitting that is looked at from all sides, at many moments.
type present struct {
	*builder
	name     string
	listened []string // by their number, from 1
	hears    []bool   // whether what the tap delivers is read
	now      atomic.Pointer[state.State]
	seen     *record.Overview
	gather   *record.Gathering // as a session has it
	all      *record.Gathering // as who judges a recording has it
	url      string
	lookedAt int // open claims that were looked at, as the record has them
	moment   string

	met    map[string]bool   // conditions, troubles and counts that were looked at
	latest map[string]counts // by tap
	events map[string]counts // by tap: what the timeline adds up to
}

// newPresent makes a sitting by a seed: every second one with servo leads, every fifth with
// a second receiver; any receiver, and a line with faults of all sorts.
func newPresent(t *testing.T, seed uint64) *present {
	p := &present{builder: &builder{t: t, rng: rand.New(rand.NewPCG(seed, 15)), beat: unit.Second}, listened: []string{"main"},
		met: map[string]bool{}, latest: map[string]counts{}, events: map[string]counts{}}
	kind := one(p.rng, receivers()...)
	text := model
	p.sheet = starter(t)
	setup := "receiver main " + kind.line + " period 9ms\n" + kind.more
	switch {
	case seed%2 == 1:
		a := airframes[p.rng.IntN(len(airframes))]
		kind = rx{one(p.rng, "preset", "preset flags failsafe", "preset flags lost", "preset always lost"), presets}
		text, p.sheet, p.listened = simtest.Model, sheetOf(t, a), append(p.listened, "leads")
		setup = "receiver main " + kind.line + "\n" + presets + leadsSetup + a.mixes
	case seed%5 == 0:
		p.sheet = changed(t, "  leads:    ", 2, "  rear: {kind: bus, carries: heard}\n")
		p.listened = append(p.listened, "rear")
		setup += "receiver rear hold wakes neutral period 9ms\n"
	}
	p.name = kind.line
	for _, fault := range []string{"link main loss 3% burst 2\n", "wire main missing 0.5%\n", "wire main damage 0.1%\n", "adapter main clump 16ms\n"} {
		if p.rng.IntN(2) == 0 {
			setup += fault
		}
	}
	scripted, err := script.ParseDriven("present", []byte(text+setup))
	require.NoError(t, err, text+setup)
	p.sim = script.Drive(scripted, seed)
	p.hears = make([]bool, len(p.listened))
	p.seen, p.gather, p.all = record.NewOverview(p.sheet), record.NewBoundedGathering(p.sheet), record.NewGathering(p.sheet)
	p.engine = engine.New(p.sheet, func(e *event.Event, wall int64) {
		p.seen.See(e)
		p.gather.OnEvent(e, wall)
		p.all.OnEvent(e, wall)
		p.adds(e)
	})
	p.serve()
	return p
}

// serve shows the sitting over HTTP.
func (p *present) serve() {
	look := func() state.State { return *p.now.Load() }
	server, err := api.New(api.Options{State: look, Metrics: metrics.Handler(look)})
	require.NoError(p.t, err)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(p.t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(ctx, l) }()
	p.url = "http://" + l.Addr().String()
	p.t.Cleanup(func() {
		stop()
		assert.NoError(p.t, <-ended)
	})
}

// get asks for a path.
func (p *present) get(path string) []byte {
	answer, err := http.Get(p.url + path)
	require.NoError(p.t, err)
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	require.NoError(p.t, err)
	return text
}

func (p *present) step(tap int, kind event.InputKind, data string) {
	p.takes(&event.Input{At: p.at, Tap: uint8(tap), Kind: kind, Data: []byte(data)})
}

func (p *present) takes(in *event.Input) {
	p.engine.Step(in)
	p.gather.Judged(in, p.engine)
	p.all.Judged(in, p.engine)
}

// starts begins the session, or goes on with it; no port is open then.
func (p *present) starts(kind event.InputKind) {
	s := event.Start{Build: "test"}
	for i, name := range p.listened {
		kind := "bus"
		if name == "leads" {
			kind = "pulses"
		}
		s.Taps = append(s.Taps, event.TapName{Name: name, Kind: kind})
		p.hears[i] = false
	}
	data, err := json.Marshal(s)
	require.NoError(p.t, err)
	p.step(event.BenchTap, kind, string(data))
}

func (p *present) opens(tap int) {
	p.step(tap, event.InputTapUp, `{"port":"simulated"}`)
	p.hears[tap-1] = true
}

func (p *present) shuts(tap int, why string) {
	p.step(tap, event.InputTapDown, why)
	p.hears[tap-1] = false
}

// runs lets milliseconds pass; a tap that nobody hears delivers into the void.
func (p *present) runs(ms int) {
	for end := p.at.Add(unit.Duration(ms) * unit.Millisecond); p.at < end; {
		p.at = min(p.at.Add(5*unit.Millisecond), end)
		to := p.at
		for _, d := range p.sim.Advance(int64(to)) {
			p.at = unit.Time(d.At).Truncate(unit.Microsecond)
			p.passBeats()
			if p.hears[d.Tap] {
				p.step(d.Tap+1, event.InputBytes, string(d.Data))
			}
		}
		p.at = to
		p.passBeats()
	}
}

func (p *present) passBeats() {
	for ; p.beat <= unit.Duration(p.at); p.beat += unit.Second {
		p.takes(&event.Input{At: unit.Time(p.beat), Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(p.beat))})
	}
}

// recorders are how the evidence may do.
var recorders = []state.Recorder{
	{Recording: true}, {Recording: true}, {Recording: true}, {Recording: true, Trouble: "refused"},
	{Recording: true, Stalled: true}, {Stalled: true, Trouble: "no answer"}, {Trouble: "full"},
}

// looks looks from all sides, and has all say the same.
func (p *present) looks(format string, args ...any) {
	p.moment = fmt.Sprintf("%s, %s: %s", p.name, unit.FormatClock(p.at), fmt.Sprintf(format, args...))
	now := p.engine.State()
	now.Recorder = one(p.rng, recorders...)
	now.NowNS = now.SeenNS.Add(one(p.rng, unit.Duration(0), unit.Second, 4*unit.Second))
	p.now.Store(now)
	p.agree()
}

// plays is the whole sitting.
func (p *present) plays(seed uint64) {
	p.starts(event.InputBegin)
	p.looks("before any port")
	for tap := range p.listened {
		p.opens(tap + 1)
		p.looks("port %d is open", tap+1)
		p.step(tap+1, event.InputBytes, "no frame begins so")
		p.looks("nonsense at %d", tap+1)
		if p.listened[tap] == "leads" {
			p.step(tap+1, event.InputBytes, boardInfo(2))
			p.looks("a board")
		}
	}
	p.do("signal on")
	p.hands()
	p.loses()
	p.say("ends", event.StepBegin, "")
	p.looks("a drill began")
	p.runs(300)
	p.say("ends", event.StepConfirm, "")
	p.runs(1000)
	p.looks("in a drill")
	if seed%3 == 0 {
		p.say("ends", event.StepAbandon, "")
		p.looks("out of the drill")
	}
	for tap := range p.listened {
		p.mishaps(tap + 1)
	}
	if seed%4 == 2 {
		p.starts(event.InputResume)
		p.looks("gone on with")
		for tap := range p.listened {
			p.opens(tap + 1)
		}
		p.hands()
	}
	p.step(event.BenchTap, event.InputEnd, "")
	p.looks("the end")
	for tap, list := range p.events {
		for key, n := range list {
			assert.Equal(p.t, n, p.latest[tap][key], "%s: the timeline of %s adds up to another %s", p.name, tap, key)
		}
	}
}

// adds adds up events, as anybody may who reads a timeline.
func (p *present) adds(e *event.Event) {
	tap, ok := event.AboutTap.Name(e.About)
	if !ok {
		return
	}
	if p.events[tap] == nil {
		p.events[tap] = counts{}
	}
	c := p.events[tap]
	switch d := e.Data.(type) {
	case event.FramesMissingData:
		switch {
		case e.Kind == event.WireGap:
			c["gap_runs"]++
			c["gaps"] += d.Frames
		case !d.Loss:
			c["link_missed_runs"] += max(1, d.Runs)
			c["link_missed"] += d.Frames
		}
	case event.DamageData:
		c["damage_runs"]++
	case event.ExposureData:
		c["link_frames"] += d.LinkFrames
	}
}

// hands flip and move, and say that something was changed.
func (p *present) hands() {
	p.runs(1500)
	p.looks("heard")
	for _, step := range []string{"inner middle", "inner front", "outer front", "stick aileron 2012 over 400ms", "release aileron"} {
		p.do("%s", step)
		p.runs(between(p.rng, 300, 900))
		p.looks("%s", step)
	}
	p.step(1, event.InputOverrun, "12")
	p.step(1, event.InputBadBytes, "xx")
	p.runs(between(p.rng, 100, 1200))
	p.looks("characters lost and bad")
}

// loses switches the transmitter off and on again.
func (p *present) loses() {
	p.do("signal off")
	for _, ms := range []int{150, 300, 400, 800, 2500} {
		p.runs(ms)
		p.looks("signal off")
	}
	p.do("signal on")
	for range 3 {
		p.runs(700)
		p.looks("signal on")
	}
}

// mishaps are a silence and a port that is pulled out.
func (p *present) mishaps(tap int) {
	p.hears[tap-1] = false
	for _, ms := range []int{60, 300, 700, 1500} {
		p.runs(ms)
		p.looks("tap %d says nothing", tap)
	}
	p.hears[tap-1] = true
	p.runs(600)
	p.looks("tap %d speaks again", tap)
	p.shuts(tap, "pulled out")
	p.looks("tap %d pulled out", tap)
	p.runs(1200)
	p.looks("tap %d stays out", tap)
	p.opens(tap)
	p.looks("tap %d is back", tap)
	p.runs(900)
	p.looks("tap %d is heard again", tap)
}

// The status line, the summary, the record, the API's state, the health and the metrics are
// of one present: over twenty sittings none says what another denies. What can be said was.
func TestAllWhoShowThePresentAgree(t *testing.T) {
	met := map[string]bool{}
	for seed := range uint64(20) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			p := newPresent(t, seed)
			p.plays(seed)
			for m := range p.met {
				met[m] = true
			}
		})
	}
	for _, c := range state.Conditions() {
		assert.True(t, met[string(c)], c)
	}
	for _, m := range []string{"disk stalled", "not recording", "disk", "late", "a drill", "outputs", "seen wrong", "--"} {
		assert.True(t, met[m], m)
	}
	for _, key := range strings.Fields("frames missed failsafe damaged link_frames link_missed link_missed_runs gaps gap_runs damage_runs " +
		"ups lost bytes bad refused lines dropped") {
		assert.True(t, met[key], "%s is never more than 0", key)
	}
}
