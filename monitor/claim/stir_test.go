package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const stirred = `sheet: 1
model: m
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, cut: 988, full: 2012}
soak: {receiver_supply: the regulator of the controller}
`

// stirBench is a book, and a clock.
type stirBench struct {
	t    *testing.T
	book *claim.Book
	at   unit.Time
}

func newStirBench(t *testing.T) *stirBench {
	s, err := sheet.Read("m.yaml", []byte(stirred))
	require.NoError(t, err)
	return &stirBench{t: t, book: claim.New(s)}
}

func (b *stirBench) hear(kind, about string, data any) {
	b.book.See(&event.Event{At: b.at, From: b.at, Kind: kind, About: about, Data: data}, func(*claim.Claim, claim.Verdict) {})
}

func (b *stirBench) prompt(id string) {
	b.at = b.at.Add(unit.Second)
	b.hear(event.DrillPrompted, "drill:stir", event.DrillPromptedData{Prompt: id})
}

func (b *stirBench) answer(id string, stirred unit.Duration, aileron, throttle unit.Width) {
	b.at = b.at.Add(unit.Minute)
	move := func(channel int, by unit.Width) event.ChannelMove {
		return event.ChannelMove{Channel: channel, LeastNS: 1_500_000 - by/2, MostNS: 1_500_000 + by/2}
	}
	b.hear(event.DrillAnswered, "drill:stir", event.DrillAnsweredData{Prompt: id, By: "count", Tap: "main", StirredNS: stirred,
		Channels: []event.ChannelMove{move(1, aileron), move(2, 1_000_000), move(3, throttle)}})
}

func (b *stirBench) silent() {
	b.at = b.at.Add(2 * unit.Second)
	b.hear(event.BusSilent, "tap:main", event.SilentData{})
	b.hear(event.BusLocked, "tap:main", event.LockedData{SilentNS: unit.Second})
}

func (b *stirBench) restart() {
	b.silent()
	b.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{AfterSilence: true})
}

func (b *stirBench) verdict() (claim.Verdict, string) {
	for _, c := range b.book.Claims() {
		if c.ID == "soak/stir" {
			return c.Verdict, c.Sentence
		}
	}
	b.t.Fatal("no such claim")
	return "", ""
}

func TestStir(t *testing.T) {
	nothing := func(*stirBench) {}
	for _, x := range []struct {
		name              string
		still, stir       func(*stirBench)
		stirred           unit.Duration
		aileron, throttle unit.Width
		want              claim.Verdict
		says              string
	}{
		{"holds", nothing, nothing, 33 * unit.Second, 500_000, 0, claim.VerdictRight, "stirred for 33.00 s, without a silence"},
		{"too little", nothing, nothing, 33*unit.Second - 1, 500_000, 0, claim.VerdictOpen, "stir all of them"},
		{"one stick rests", nothing, nothing, 40 * unit.Second, 499_998, 0, claim.VerdictOpen, "stir all of them"},
		{"throttle moved", nothing, (*stirBench).restart, 40 * unit.Second, 900_000, 61_000, claim.VerdictOpen, "the throttle moved"},
		{"a restart", nothing, (*stirBench).restart, 5 * unit.Second, 900_000, 0, claim.VerdictWrong, "began anew 1 times"},
		{"one silence", nothing, (*stirBench).silent, 40 * unit.Second, 900_000, 0, claim.VerdictOpen, "one alone may be"},
		{"two silences", nothing, func(b *stirBench) { b.silent(); b.silent() }, 40 * unit.Second, 900_000, 0, claim.VerdictWrong, "the wire does not say which"},
		{"at rest too", (*stirBench).silent, (*stirBench).restart, 40 * unit.Second, 900_000, 0, claim.VerdictOpen, "at rest too"},
		{"leads at once", nothing, func(b *stirBench) {
			b.at = b.at.Add(unit.Second)
			b.hear(event.OutputSilent, "output:1", event.SilentData{})
			b.at = b.at.Add(-2*unit.Second + 300*unit.Millisecond)
			b.restart()
		}, 40 * unit.Second, 900_000, 0, claim.VerdictWrong, "bus and servo leads fell silent at once"},
		{"leads apart", nothing, func(b *stirBench) {
			b.hear(event.OutputSilent, "output:1", event.SilentData{})
			b.restart()
		}, 40 * unit.Second, 900_000, 0, claim.VerdictWrong, "the wire does not say which, so"},
		{"read late", nothing, func(b *stirBench) {
			b.silent()
			b.hear(event.BusLate, "tap:main", event.LateData{Frames: 40})
		}, 40 * unit.Second, 900_000, 0, claim.VerdictRight, "without a silence"},
		{"a failsafe of the link", nothing, func(b *stirBench) {
			b.at = b.at.Add(2 * unit.Second)
			b.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{})
		}, 40 * unit.Second, 900_000, 0, claim.VerdictRight, "without a restart of the receiver"},
		{"another bus", nothing, func(b *stirBench) {
			for range 3 {
				b.hear(event.BusSilent, "tap:second", event.SilentData{})
			}
			b.hear(event.FailsafeEntered, "tap:second", event.FailsafeData{AfterSilence: true})
		}, 40 * unit.Second, 900_000, 0, claim.VerdictRight, "without a silence"},
	} {
		b := newStirBench(t)
		b.restart() // before the drill
		b.prompt("stir/still")
		x.still(b)
		b.answer("stir/still", 0, 0, 0)
		b.prompt("stir/stir")
		x.stir(b)
		b.answer("stir/stir", x.stirred, x.aileron, x.throttle)
		b.restart() // and behind it
		got, says := b.verdict()
		assert.Equal(t, x.want, got, x.name)
		assert.Contains(t, says, x.says, x.name)
	}
}

// Without a span at rest nothing can be held against it.
func TestStirWithoutASpanAtRest(t *testing.T) {
	b := newStirBench(t)
	b.prompt("stir/stir")
	b.restart()
	b.answer("stir/stir", 40*unit.Second, 900_000, 0)
	got, _ := b.verdict()
	assert.Equal(t, claim.VerdictOpen, got)
}
