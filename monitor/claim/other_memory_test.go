package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// tried is a drill of another memory in which all is well: 100 frames, flagged, with an output that stood.
type tried struct {
	name string
	back string
	d    event.MemoryTriedData
	far  unit.Width // of output 2
}

func TestOtherMemory(t *testing.T) {
	const id = "memory/other"
	moves := func(us unit.Width) func(*tried) {
		return func(x *tried) { x.d.Channels[0].MostNS = x.d.Channels[0].LeastNS + us*1000 }
	}
	heard := func(x *tried) { x.d.Live = 90 }
	for _, c := range []struct {
		name   string
		change []func(*tried)
		want   claim.Verdict
		says   string
	}{
		{"nothing was heard, nothing moved", nil, claim.VerdictRight, `with the memory "glider" selected, as was typed`},
		{"it sent nothing", []func(*tried){func(x *tried) { x.d.Frames, x.d.Channels = 0, nil }}, claim.VerdictRight, "sent nothing on the bus"},
		{"it followed", []func(*tried){heard, moves(100)}, claim.VerdictWrong, "aileron went by 100 µs; have transmitter and receiver tell memories apart"},
		{"an output did", []func(*tried){heard, func(x *tried) { x.far = 400_000 }}, claim.VerdictWrong, "output 2 went by 400 µs"},
		{"a little is no stick", []func(*tried){heard, moves(99)}, claim.VerdictOpen, "it may hold its last values without a flag"},
		{"nothing shows that it was selected", []func(*tried){heard, moves(400), func(x *tried) { x.d.Left = false }}, claim.VerdictOpen,
			"nothing on the bus shows that another memory was selected"},
		{"nor that it was to the end", []func(*tried){heard, moves(400), func(x *tried) { x.d.Returned = false }}, claim.VerdictOpen,
			"nothing on the bus shows that another memory was selected"},
		{"a transmitter was heard from the middle on", []func(*tried){heard, moves(400), func(x *tried) { x.d.Changed = true }}, claim.VerdictOpen,
			"for a part of the time only in which sticks were moved, and aileron went by 400 µs"},
		{"nobody typed a name", []func(*tried){func(x *tried) { x.name = "" }}, claim.VerdictOpen, "nobody typed which memory"},
		{"it did not answer again", []func(*tried){func(x *tried) { x.back = "builder" }}, claim.VerdictOpen, "that this model answers again was not seen"},
		{"it drifts by itself", []func(*tried){moves(16)}, claim.VerdictOpen, "without a transmitter aileron went by 16 µs"},
		{"it trembles", []func(*tried){moves(15)}, claim.VerdictRight, "heard no transmitter for"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := tried{name: "glider", back: "wire", d: event.MemoryTriedData{Tap: "main", Left: true, Returned: true, Frames: 100,
				Channels: make([]event.PowerUpRanges, 16)}, far: 3_000}
			for _, change := range c.change {
				change(&x)
			}
			k := open(t, strings.Replace(string(sheettest.TwoSwitches()), "  within: 1.5s", "  other_memory: refused\n  within: 1.5s", 1))
			answered := func(prompt, by, words string, outputs ...event.OutputMove) {
				k.hear(event.DrillAnswered, "drill:other-memory", event.DrillAnsweredData{Prompt: "other-memory/" + prompt, By: by, Words: words, Outputs: outputs})
			}
			answered("select", "builder", x.name)
			answered("try", "count", "", event.OutputMove{Output: 2, LeastNS: 1_500_000, MostNS: 1_500_000 + x.far})
			answered("answers", x.back, "")
			k.hear(event.MemoryTried, "tap:main", x.d)
			assert.Equal(t, c.want, k.verdict(id))
			assert.Contains(t, k.claim(id).Sentence, c.says)
		})
	}
}

// A sheet that does not say so claims nothing of another memory.
func TestNoClaimOnOtherMemories(t *testing.T) {
	for _, k := range starter(t).book.Claims() {
		assert.NotEqual(t, claim.FamilyMemory, k.Family)
	}
}
