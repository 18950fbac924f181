package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// careless is a sitting of hands that do what they please, on whatever receiver and
// link, by a seed.
type careless struct {
	*sitting
	sh       *sheet.Sheet
	setup    string        // of the bench, beside the model's
	period   time.Duration // of the bus
	late     time.Duration // what the adapter may add
	damage   bool
	presets  bool // the receiver is preset
	phases   bool // there is a flight-phase switch
	phase    bool // it is on
	low      bool // rates are low
	throttle int64
	also     []aside // what the bench does by itself, in any order
	soak     soaked
}

// aside is a step of the bench.
type aside struct {
	at   time.Duration
	text string
}

// one picks one of a list.
func one[T any](rng *rand.Rand, list ...T) T { return list[rng.IntN(len(list))] }

func (c *careless) often(percent int) bool { return c.rng.IntN(100) < percent }

// by is an aside some time from now.
func (c *careless) by(after time.Duration, format string, args ...any) {
	c.also = append(c.also, aside{max(0, c.at+after), fmt.Sprintf(format, args...)})
}

func (c *careless) millis(low, high int) time.Duration {
	return time.Duration(between(c.rng, low, high)) * time.Millisecond
}

func newCareless(t testing.TB, seed uint64) *careless {
	c := &careless{sitting: &sitting{rng: rand.New(rand.NewPCG(seed, 12))}, sh: starter(t), throttle: 1010}
	text := string(sheettest.TwoSwitches())
	if c.often(60) {
		text = edited(t, string(sheettest.TwoSwitches()), "heartbeat:\n", 2, "")
	}
	if c.rear = c.often(10); c.rear {
		text = edited(t, string(sheettest.TwoSwitches()), "  leads:    ", 2, "  rear: {kind: bus, carries: heard}\n")
	}
	c.soak = drawSoak(seed)
	c.sh = sheetRead(t, text+c.soak.section)
	c.bench()
	return c
}

// changed is the starter's sheet with other text in the place of some lines, the
// first of which begins so.
func changed(t testing.TB, line string, lines int, with string) *sheet.Sheet {
	return sheetRead(t, edited(t, string(sheettest.TwoSwitches()), line, lines, with))
}

// edited is a sheet's text with other text in the place of some lines, the first of which
// begins so.
func edited(t testing.TB, text, line string, lines int, with string) string {
	at := strings.Index(text, "\n"+line) + 1
	require.Positive(t, at)
	parts := strings.SplitAfterN(text[at:], "\n", lines+1)
	return text[:at] + with + parts[lines]
}

func sheetRead(t testing.TB, text string) *sheet.Sheet {
	s, err := sheet.Read("changed", []byte(text))
	require.NoError(t, err, text)
	return s
}

// rx is a kind of receiver: its line's options, and lines below it.
type rx struct{ line, more string }

const stickPreset = "preset main aileron 2012\n"

func receivers() []rx {
	return []rx{
		{"preset", presets}, {"preset", presets}, {"preset after 500ms..1400ms", presets},
		{"preset flags failsafe", presets},
		{"preset flags failsafe after 300ms..1300ms holds 100ms..300ms", presets},
		{"preset flags lost", presets}, {"preset flags none", presets},
		{"preset holds 2s..4s", presets}, {"preset holds 2s..4s", presets + stickPreset},
		{"preset after 900ms holds 2s..4s flags none", presets + stickPreset},
		{"preset ramp 200ms..1s", presets}, {"preset flagged 2s..3s", presets},
		{"preset regain 500ms..1500ms", presets}, {"preset regain 3500ms..6s", presets},
		{"preset misses 100ms..400ms", presets},
		{"preset wakes neutral", presets}, {"preset wakes silent", presets}, {"preset early none", presets},
		{"preset early lost flags none", presets}, {"preset early both flags none", presets},
		{"preset", "preset main throttle 1300\npreset main inner front\n"},
		{"preset", presets + "teach main every 20s..60s\n"},
		{"hold wakes neutral", ""}, {"hold wakes neutral flags none", ""}, {"hold wakes neutral flags lost", ""},
		{"hold wakes neutral flags failsafe", ""}, {"hold wakes neutral flagged 2s..3s", ""},
		{"hold wakes neutral flags none early none", ""},
		{"silent", ""}, {"silent flags none", ""}, {"silent holds 500ms..2s", ""},
		{"preset always lost", presets}, {"hold wakes neutral always both", ""},
	}
}

func (c *careless) bench() {
	kind := one(c.rng, receivers()...)
	period := one(c.rng, 7, 7, 9, 11, 14, 18, 22)
	c.soak.long = c.soak.long && period >= 14 // a slow bus is played in less time
	c.period, c.presets = time.Duration(period)*time.Millisecond, kind.line[0] == 'p'
	var b strings.Builder
	fmt.Fprintf(&b, "packets every %dms\n", one(c.rng, 7, 9, 9, 11, 22))
	if c.phases = c.often(30); c.phases {
		b.WriteString("channel 8 phase 988\nplace phase off 988\nplace phase on 2012\n")
	}
	fmt.Fprintf(&b, "receiver main %s period %dms\n%s", kind.line, period, kind.more)
	if c.phases {
		fmt.Fprintf(&b, "phase phase on %s\n",
			one(c.rng, "aileron 40 elevator -60 rudder 90", "aileron 40 elevator -60 throttle 70",
				"elevator 120 aileron 35 rudder -40 throttle 60"))
	}
	if c.often(30) {
		b.WriteString("gate round aileron elevator\ngate round rudder throttle\n")
	}
	if c.often(40) {
		fmt.Fprintf(&b, "tremble %s every 300ms..%ds\n", one(c.rng, "aileron", "elevator", "throttle", "gain"), between(c.rng, 1, 5))
	}
	if c.rear {
		fmt.Fprintf(&b, "receiver rear %s period %dms regain 900ms..1500ms\n", one(c.rng, "preset", "hold wakes neutral", "preset flags failsafe"), period)
	}
	if clump := one(c.rng, 0, 0, 1, 16); clump > 0 {
		c.late = time.Duration(clump) * time.Millisecond
		fmt.Fprintf(&b, "adapter main clump %dms\n", clump)
	}
	if c.often(15) {
		fmt.Fprintf(&b, "link main loss %s burst %d\n", one(c.rng, "0.05%", "0.5%", "3%", "10%"), between(c.rng, 1, 4))
	}
	if c.often(10) {
		b.WriteString("wire main missing 0.5%\n")
	}
	if c.often(5) {
		c.damage = true
		b.WriteString("wire main damage 0.05%\n")
	}
	c.setup = b.String()
}

// model is the bench's text without the receiver: the model of the other sittings,
// whose channels stand before what is about them.
func (c *careless) model() string {
	if c.sh.Heartbeat == nil {
		return model[:strings.LastIndex(model, "heartbeat")]
	}
	return model
}

// script is the whole sitting, to be kept and played alone.
func (c *careless) script() string {
	type line struct {
		at   time.Duration
		text string
	}
	var lines []line
	for l := range strings.Lines(c.steps.String()) {
		when, what, _ := strings.Cut(strings.TrimSpace(l), " ")
		at, err := time.ParseDuration(when)
		if err != nil {
			panic(err)
		}
		lines = append(lines, line{at, what})
	}
	for _, a := range c.also {
		lines = append(lines, line{min(a.at, c.at), a.text})
	}
	slices.SortStableFunc(lines, func(a, b line) int { return int(a.at - b.at) })
	var b strings.Builder
	b.WriteString(c.model() + c.setup)
	for _, l := range lines {
		fmt.Fprintf(&b, "%dms %s\n", l.at.Milliseconds(), l.text)
	}
	fmt.Fprintf(&b, "%dms end\n", c.at.Milliseconds())
	return b.String()
}

// play is the whole sitting: hands in free play, losses, and what the link does.
func (c *careless) play(t *testing.T) {
	if c.often(80) {
		c.do("signal on")
	} else {
		c.at = c.millis(1000, 4000)
		c.do("signal on")
	}
	c.wait(1500*time.Millisecond, 4*time.Second)
	for range between(c.rng, 4, 14) {
		c.act()
	}
	for range between(c.rng, 0, 2) {
		c.lose()
		for range between(c.rng, 0, 4) {
			c.act()
		}
	}
	switch {
	case c.often(20):
		c.home()
		c.stays = c.often(15)
		if c.often(30) {
			c.late = c.millis(0, 6000)
		}
		if c.often(30) {
			c.by(c.millis(3000, 20000), "mute main for 100ms")
		}
		c.failsafeDrill(t, c.sh, c.millis(1000, 8000))
	case c.often(8):
		c.home()
		c.powerUpDrill(t, c.sh, c.often(80))
		c.do("signal on")
		c.wait(3*time.Second, 6*time.Second)
	}
	if c.often(15) {
		c.at += 11 * time.Minute
		c.stirs()
	}
	c.soaks(t)
	c.wait(time.Second, 3*time.Second)
}
