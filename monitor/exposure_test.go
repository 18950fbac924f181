package monitor_test

import (
	"encoding/binary"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// long is a sitting that is long enough for every claim, ms.
const long = 11 * 60 * 1000

// claimsOf judges a sitting of so long on the tap main. bytes gives what comes at each
// 7 ms, nil for nothing; without it the port never was.
func claimsOf(t *testing.T, text string, bytes func(n int) []byte) map[string]*claim.Claim {
	s, err := sheet.Read("sheet", []byte(text))
	require.NoError(t, err)
	b := engine.New(s, func(*event.Event, int64) {})
	in := begin("main")
	b.Step(&in)
	if bytes != nil {
		b.Step(&event.Input{Tap: 1, Kind: event.InputTapUp, Data: []byte(`{"port":"p"}`)})
	}
	for n := range long / 7 {
		at := unit.Time(unit.Duration(n+1) * 7 * unit.Millisecond)
		if n%143 == 0 {
			b.Step(&event.Input{At: at, Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(1_700_000_000_000_000_000+int64(at)))})
		}
		if bytes == nil {
			continue
		}
		if data := bytes(n); data != nil {
			b.Step(&event.Input{At: at, Tap: 1, Kind: event.InputBytes, Data: data})
		}
	}
	b.Step(&event.Input{At: unit.Time(long * unit.Millisecond), Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, c := range b.Claims() {
		found[c.ID] = c
	}
	return found
}

// sent are frames of a bus whose switches stand where the starter has places.
func sent(change func(n int, f *bus.Frame)) func(int) []byte {
	return func(n int) []byte {
		f := bus.Frame{}
		for i := range f.Counts {
			f.Counts[i] = 992
		}
		for _, ch := range []int{3, 11, 13, 15} {
			f.Counts[ch-1] = 172
		}
		if change != nil {
			change(n, &f)
		}
		var raw [servobus.FrameLen]byte
		servobus.Encode(&f, raw[:])
		return raw[:]
	}
}

func flags(with bus.Flags) func(int, *bus.Frame) {
	return func(_ int, f *bus.Frame) { f.Flags |= with }
}

// right are the claims that were seen right, but for those of these families.
func right(claims map[string]*claim.Claim, but ...string) (list []string) {
	for id, c := range claims {
		family, _, _ := strings.Cut(id, "/")
		if c.Verdict != claim.VerdictRight {
			continue
		}
		excepted := false
		for _, b := range but {
			excepted = excepted || b == family || b == id
		}
		if !excepted {
			list = append(list, id+": "+c.Sentence)
		}
	}
	return list
}

// fixed is the starter with a gain that was found and then fixed.
func fixed() string {
	text := strings.Replace(string(sheettest.TwoSwitches()), "kind: knob                #", "kind: fixed                #", 1)
	i := strings.Index(text, "    ends: {anticlockwise: 1500")
	j := i + strings.Index(text[i:], "\n")
	return text[:i] + "    value: 1500" + text[j:]
}

// What was not heard shows nothing, over all claims there are: no claim is seen right
// where there was no port, no frame, no link, and where nothing ever moved. What
// a frame shows by standing there is excepted, and named.
func TestNothingIsSeenRightWithoutExposure(t *testing.T) {
	noise := rand.New(rand.NewPCG(1, 2))
	for name, x := range map[string]struct {
		sheet string
		bytes func(int) []byte
		but   []string
	}{
		"no port":       {string(sheettest.TwoSwitches()), nil, nil},
		"a silent line": {string(sheettest.TwoSwitches()), func(int) []byte { return nil }, nil},
		"noise": {string(sheettest.TwoSwitches()), func(int) []byte {
			b := make([]byte, 23)
			for i := range b {
				b[i] = byte(noise.Uint32())
			}
			return b
		}, nil},
		"every frame missed":     {string(sheettest.TwoSwitches()), sent(flags(bus.Lost)), nil},
		"every frame failsafe":   {string(sheettest.TwoSwitches()), sent(flags(bus.Failsafe | bus.Lost)), nil},
		"moving, but all missed": {string(sheettest.TwoSwitches()), sent(func(n int, f *bus.Frame) { works(n, f); f.Flags = bus.Lost }), nil},
		"moving in a failsafe":   {string(sheettest.TwoSwitches()), sent(func(n int, f *bus.Frame) { works(n, f); f.Flags = bus.Failsafe }), nil},
		// A receiver that holds without a signal, and never says so, looks like that.
		"nothing ever moves": {string(sheettest.TwoSwitches()), sent(nil), nil},
		// A fixed channel is to stand where it stands.
		"a fixed gain, and nothing moves": {fixed(), sent(nil), []string{"position/gain/value"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Empty(t, right(claimsOf(t, x.sheet, x.bytes), x.but...))
		})
	}
}

// works moves all sticks, and each switch every few seconds.
func works(n int, f *bus.Frame) {
	for ch := range 4 {
		f.Counts[ch] = uint32(400 + 3*(n%300))
	}
	for i, ch := range []int{11, 13, 15} {
		if n/(400+30*i)%2 == 1 {
			f.Counts[ch-1] = 1811
		}
	}
}

// Channels that no switch is assigned to rest at 1500 µs, while sticks move: nothing
// is seen right of any switch.
func TestUnassignedChannelsShowNothing(t *testing.T) {
	claims := claimsOf(t, string(sheettest.TwoSwitches()), sent(func(n int, f *bus.Frame) {
		for ch := range f.Counts {
			f.Counts[ch] = 992
		}
		if n/1000%2 == 1 {
			f.Counts[0] = uint32(992 + 2*(n%200))
			f.Counts[1] = uint32(992 - 2*(n%200))
		}
	}))
	assert.Empty(t, right(claims, "link"))
	assert.Equal(t, claim.VerdictRight, claims["link/moving"].Verdict, claims["link/moving"].Sentence)
	assert.Equal(t, "inner stands at 1500.3 µs, but was not seen to move: whatever rests there shows nothing; work its switch",
		claims["position/inner/middle"].Sentence)
	assert.Equal(t, "limit-learning was not set off so far: teach never moved: work its switch once", claims["gesture/limit-learning"].Sentence)
}

// The correct thing, for long enough, is seen right: the minimum can be met.
func TestEnoughExposureIsEnough(t *testing.T) {
	claims := claimsOf(t, string(sheettest.TwoSwitches()), sent(func(n int, f *bus.Frame) {
		if n/1000%2 == 1 {
			f.Counts[0] = uint32(992 + 2*(n%200))
		}
		if n/500%2 == 1 {
			f.Counts[14] = 1811
		}
	}))
	for _, id := range []string{"link/missed", "link/spikes", "link/moving", "gesture/limit-learning", "momentary/teach", "clip/teach"} {
		assert.Equal(t, claim.VerdictRight, claims[id].Verdict, claims[id].Sentence)
	}
}

// With one frame in ten missed the share is seen wrong while listening goes on, and is
// reported in a few lines.
func TestOneFrameInTenMissed(t *testing.T) {
	s := starter(t)
	lines := 0
	b := engine.New(s, func(e *event.Event, _ int64) {
		if e.Kind == event.AirMissed {
			lines++
		}
	})
	in := begin("main")
	b.Step(&in)
	b.Step(&event.Input{Tap: 1, Kind: event.InputTapUp, Data: []byte(`{"port":"p"}`)})
	frames := sent(func(n int, f *bus.Frame) {
		if n%10 == 9 {
			f.Flags = bus.Lost
		}
	})
	for n := range 80_000 / 7 {
		b.Step(&event.Input{At: unit.Time(unit.Duration(n+1) * 7 * unit.Millisecond), Tap: 1, Kind: event.InputBytes, Data: frames(n)})
	}
	assert.LessOrEqual(t, lines, 3+8, "three by themselves, and a line each ten seconds")
	for _, c := range b.Claims() {
		if c.ID == "link/missed" {
			assert.Equal(t, claim.VerdictWrong, c.Verdict)
			assert.Contains(t, c.Sentence, "% of the frames were missed on the air in 1:")
		}
	}
}
