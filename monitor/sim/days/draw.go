package days

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"

	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

const (
	second      = int64(unit.Second)
	millisecond = int64(unit.Millisecond)
	mostReads   = 1500 // of a port, so that a day has at most 2,000 inputs
)

// draw draws the story of a seed.
type draw struct {
	*rand.Rand
	story Story
}

func one[T any](d *draw, list ...T) T { return list[d.IntN(len(list))] }

func (d *draw) often(percent int) bool { return d.IntN(100) < percent }

// between draws a time, ns.
func (d *draw) between(low, high int64) int64 { return low + d.Int64N(high-low+1) }

// when draws a moment of the day.
func (d *draw) when() int64 { return d.between(0, d.story.Length-1) }

func (d *draw) happens(h Happening) {
	h.Luck = d.Uint64()
	d.story.Happens = append(d.story.Happens, h)
}

// New is the story of a seed.
func New(seed uint64) *Story {
	d := &draw{Rand: rand.New(rand.NewPCG(seed, 20)), story: Story{Seed: seed}}
	d.bench()
	d.hands()
	d.clients()
	d.lives()
	d.faults()
	slices.SortStableFunc(d.story.Happens, func(a, b Happening) int { return cmp.Compare(a.At, b.At) })
	return &d.story
}

// receivers are lines of the receiver, and what is below them.
var receivers = [][2]string{
	{"preset", simtest.Presets}, {"preset", simtest.Presets}, {"preset flags failsafe", simtest.Presets}, {"preset flags none", simtest.Presets},
	{"preset after 500ms..1400ms", simtest.Presets}, {"preset holds 2s..4s", simtest.Presets}, {"preset wakes silent", simtest.Presets},
	{"preset early both flags none", simtest.Presets}, {"hold wakes neutral", ""}, {"hold wakes neutral flags none", ""}, {"silent", ""},
}

func (d *draw) bench() {
	s := &d.story
	period := one(d, 7, 9, 11, 14, 18, 22)
	kind := receivers[d.IntN(len(receivers))]
	s.Bench = simtest.Model + fmt.Sprintf("packets every %dms\nreceiver main %s period %dms\n%s", one(d, 7, 9, 11, 22), kind[0], period, kind[1])
	read := period
	if clump := one(d, 0, 0, 1, 16); clump > 0 {
		s.Bench += fmt.Sprintf("adapter main clump %dms\n", clump)
		read = max(period, clump)
	}
	if d.often(15) {
		s.Bench += fmt.Sprintf("link main loss %s burst %d\n", one(d, "0.05%", "0.5%", "3%"), 1+d.IntN(3))
	}
	if d.often(10) {
		s.Bench += "wire main missing 0.5%\n"
	}
	if d.often(5) {
		s.Bench += "wire main damage 0.05%\n"
	}
	s.Length = d.between(4*second, min(40*second, int64(mostReads*read)*millisecond))
	s.Every, s.Segment = 1+d.IntN(5), unit.Duration(d.between(2*second, 12*second))
	s.Slow = one(d, 0, 0, 0, d.between(millisecond, 25*millisecond))
	s.Sheet = small
	if d.often(35) {
		s.Sheet = string(sheettest.TwoSwitches())
	}
}

// small is a sheet that judges little, so that many days can be played.
const small = `sheet: 1
model: Small
sticks: 2
taps: {main: {kind: bus, carries: heard}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
`

// hands draws free play and losses of the signal.
func (d *draw) hands() {
	at := d.between(0, second)
	do := func(format string, args ...any) {
		d.happens(Happening{At: at, What: hands, Text: fmt.Sprintf(format, args...)})
	}
	do("signal on")
	for at += d.between(500*millisecond, 2*second); at < d.story.Length; at += d.between(300*millisecond, 2500*millisecond) {
		switch d.IntN(9) {
		case 0:
			do("inner %s", one(d, "back", "middle", "front"))
		case 1:
			do("outer %s", one(d, "back", "front"))
		case 2, 3:
			name := one(d, "aileron", "elevator", "rudder")
			do("stick %s %d over %dms", name, one(d, 988, 1200, 1500, 1800, 2012), d.between(100, 700))
		case 4:
			do("stir %s for %dms", one(d, "aileron elevator", "rudder", "aileron elevator rudder"), d.between(300, 3000))
		case 5:
			do("release aileron elevator rudder")
		case 6:
			do("stick throttle %d over %dms", one(d, 1010, 1400, 2012), d.between(100, 700))
		case 7:
			do("stick gain %d over %dms", one(d, 1500, 1756, 2012), d.between(100, 700))
		case 8:
			do("signal off")
			at += d.between(500*millisecond, 6*second)
			do("signal on")
		}
	}
}

// lives draws how lives end.
func (d *draw) lives() {
	for range d.IntN(4) {
		h := Happening{At: d.when(), What: one(d, stops, killed, powerCut, powerCut), For: d.between(0, 3*second)}
		if h.What != stops {
			h.Count = 1 + d.IntN(one(d, 4, 40))
		}
		if put := d.puts(); len(put) > 0 && d.often(35) {
			h.At, h.What, h.Count = put[d.IntN(len(put))]+d.between(0, 120*millisecond), powerCut, 1+d.IntN(4)
		}
		d.happens(h)
	}
}

// puts are when clients put something in: what is answered must outlast a power cut soon behind.
func (d *draw) puts() (at []int64) {
	for i := range d.story.Happens {
		if h := &d.story.Happens[i]; (h.What == marks || h.What == changes) && h.At < d.story.Length-second {
			at = append(at, h.At)
		}
	}
	return at
}

// faults draws what goes wrong with disk, ports, clocks and files.
func (d *draw) faults() {
	if d.often(25) {
		return // a quiet day
	}
	sorts := []func(){d.disk, d.disk, d.disk, d.port, d.port, d.time}
	if d.often(10) {
		sorts = append(sorts, d.files, d.files)
	}
	for range 1 + d.IntN(4) {
		sorts[d.IntN(len(sorts))]()
	}
}

func (d *draw) disk() {
	switch d.IntN(5) {
	case 0:
		d.happens(Happening{At: d.when(), What: full, For: d.between(0, 6*second), Count: d.IntN(400)})
	case 1, 2:
		d.happens(Happening{At: d.when(), What: hangs, For: d.between(10*millisecond, 5*second)})
	case 3, 4:
		d.happens(Happening{
			At: d.when(), What: refuses, Count: 1 + d.IntN(4),
			Text: one(d, "write", "sync", "sync", "sync folder", "rename", "create", "truncate", "remove"),
		})
	}
}

func (d *draw) files() {
	name := one(d, "recording.pcapng", "recording.pcapng", "timeline.jsonl", "timeline.jsonl", "checkpoints.jsonl", "sheet.yaml", "recording-000001.pcapng.zst")
	h := Happening{At: d.when(), What: one(d, rots, removed, swapped, linked), Text: name}
	switch h.What {
	case rots:
		h.Count = 1 + d.IntN(3)
	case swapped, linked:
		h.For = d.between(0, 5*second)
	}
	d.happens(h)
}

func (d *draw) port() {
	h := Happening{At: d.when(), What: one(d, unplugs, clogs, clogs, babbles), For: d.between(10*millisecond, 3*second)}
	if h.What == babbles {
		h.Count, h.For = 1+d.IntN(60), min(h.For, second)
	}
	d.happens(h)
}

func (d *draw) time() {
	switch d.IntN(3) {
	case 0:
		d.happens(Happening{At: d.when(), What: clock, For: d.between(-3600*second, 3600*second)})
	case 1:
		d.happens(Happening{At: d.when(), What: still, For: d.between(10*millisecond, 5*second)})
	case 2:
		d.happens(Happening{At: d.when(), What: another})
	}
}

// clients draws who asks over HTTP.
func (d *draw) clients() {
	for n := range d.IntN(6) {
		waits := one(d, 0, 0, d.between(0, 500*millisecond))
		d.happens(Happening{At: d.when(), What: marks, Text: fmt.Sprintf("mark %d", n), Count: one(d, 1, 1, 1, 2, 4), For: waits})
	}
	for range one(d, 0, 0, 1, 2, 3) {
		d.happens(Happening{At: d.when(), What: changes, Text: one(d, whatChanges()...), For: one(d, 0, 0, d.between(0, 500*millisecond))})
	}
	for range d.IntN(2) {
		d.happens(Happening{At: d.when(), What: looks, Count: 1 + d.IntN(4)})
	}
	if d.often(40) && d.story.Sheet != small {
		d.happens(Happening{
			At: d.between(second, 3*second), What: drills, Text: one(d, "neutral", "mode", "order", "ends", "gain", "limit-learning", "failsafe", "power-up", "stir"),
			Count: one(d, 0, 0, 1, 2, 3),
		})
	}
	if d.often(20) {
		d.happens(Happening{At: d.when(), What: follows, Text: one(d, "/api/events", "/api/live"), For: d.between(100*millisecond, 20*second), Count: d.IntN(4)})
	}
}
