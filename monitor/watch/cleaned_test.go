package watch_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

// reader writes down what Loss and the others would have seen: the value of channel 1
// as Stillness keeps it, once an observation.
type reader struct {
	*link.Stillness
	values []int
	wires  []unit.Time
}

// reads are the cleaned values of channel 1, and their wire times.
func reads(t *testing.T, play func(*rig)) *reader {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	seen := &reader{Stillness: &link.Stillness{Tap: 1}}
	r := &rig{t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}}), watcher: seen, period: period}
	r.before = []base.Watcher{base.NewCleaned(&r.view, 1)}
	for ch := range r.frame.Counts {
		r.frame.Counts[ch] = middle
	}
	play(r)
	return seen
}

func (r *reader) See(o *event.Observation, v *base.View, emit event.Emit) {
	before := r.Wire
	r.Stillness.See(o, v, emit)
	if r.Wire != before && r.Wire != 0 {
		r.values = append(r.values, int(r.Counts[0]))
		r.wires = append(r.wires, r.Wire)
	}
}

func TestCleaned(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []int
	}{
		{"three frames late", func(r *rig) { r.send(5) }, []int{992, 992}},
		{"three wrong frames are not there", func(r *rig) { r.send(6); r.play(1, 7, 7, 7, 992, 992, 992, 992, 992, 992) },
			[]int{992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992}},
		{"of three kinds", func(r *rig) { r.send(6); r.play(1, 7, 2000, 7, 992, 992, 992, 992) }, []int{992, 992, 992, 992, 992, 992, 992, 992, 992, 992}},
		{"four are", func(r *rig) { r.send(6); r.play(1, 7, 7, 7, 7, 992, 992, 992, 992, 992, 992) },
			[]int{992, 992, 992, 992, 992, 992, 7, 7, 7, 7, 992, 992, 992}},
		{"a step stays where it was", func(r *rig) { r.send(6); r.play(1, 7, 7, 7, 7, 7, 7) }, []int{992, 992, 992, 992, 992, 992, 7, 7, 7}},
		{"a movement goes through as it is", func(r *rig) { r.send(6); r.play(1, 993, 994, 995, 996, 997, 998, 999) },
			[]int{992, 992, 992, 992, 992, 992, 993, 994, 995, 996}},
		{"a silence gives what is waiting", func(r *rig) { r.send(6); r.play(1, 7); r.silence(unit.Second); r.send(4) },
			[]int{992, 992, 992, 992, 992, 7}}, // the last of those that come at once
		{"three wrong frames before a silence are not there", func(r *rig) {
			r.send(9)
			r.play(1, 1500, 1500, 1500)
			r.silence(unit.Second)
			r.put(1, middle)
			r.send(4)
		}, []int{992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992}},
		{"a movement before a silence is", func(r *rig) {
			r.send(3)
			r.play(1, 993, 994, 995, 996, 997, 998, 999)
			r.silence(unit.Second)
			r.send(4)
		},
			[]int{992, 992, 992, 993, 994, 995, 996, 997, 999}},
		{"damaged frames are none", func(r *rig) {
			r.send(6)
			r.put(1, 7)
			for range 9 {
				r.bad()
			}
			r.put(1, middle)
			r.send(4)
		}, []int{992, 992, 992, 992, 992, 992, 992}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, reads(t, c.play).values) })
	}
}

// Each value has the wire time of its own frame.
func TestCleanedTimes(t *testing.T) {
	var first unit.Time
	got := reads(t, func(r *rig) { first = r.send(20); r.put(1, 7); r.send(10) })
	for i, wire := range got.wires {
		assert.Equal(t, first.Add(unit.Duration(i)*period), wire)
		assert.Equal(t, i >= 20, got.values[i] == 7, "%d", i)
	}
}

// Its checkpoint is its JSON: what comes of it goes on as if nothing had been.
func TestCleanedGoesOn(t *testing.T) {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	var both [2][]int
	for i := range both {
		seen := &reader{Stillness: &link.Stillness{Tap: 1}}
		r := &rig{t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}}), watcher: seen, period: period}
		cleaned := base.NewCleaned(&r.view, 1)
		r.before = []base.Watcher{cleaned}
		r.each = func() {
			if i == 1 {
				state, err := json.Marshal(cleaned)
				require.NoError(t, err)
				*cleaned = base.Cleaned{}
				require.NoError(t, json.Unmarshal(state, cleaned))
			}
		}
		r.play(1, 5, 6, 900, 7, 8, 9, 9, 9, 2000, 2000, 2000, 10, 11, 12, 12, 12)
		both[i] = seen.values
	}
	assert.Equal(t, both[0], both[1])
	assert.NotEmpty(t, both[0])
}
