package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// edged has a stabiliser with these modes above a switch of three places, one of two, and a knob.
func edged(t *testing.T, modes ...string) *sheet.Sheet {
	text := `sheet: 1
model: M
taps: {main: {kind: bus}}
channels:
  5: {name: inner, kind: switch, positions: {back: 1100, middle: 1500, front: 1900}}
  6: {name: outer, kind: switch, positions: {down: 1100, up: 1900}}
  7: {name: dial, kind: knob, ends: {low: 1000, high: 2000}}
stabiliser:
  windows: {from: guess}
  measure: [edges]
  modes:
    ` + strings.Join(modes, "\n    ") + "\n"
	s, err := sheet.Read("edged", []byte(text))
	require.NoError(t, err, text)
	return s
}

// spelt has an edge in one line: where it is, from which width to which it is stepped, and with what.
func spelt(e sheet.Edge) string {
	line := fmt.Sprintf("%d %s %d..%d stepped %d..%d", e.Channel, e.Name, e.Ends/1000, e.Begins/1000, e.From/1000, e.To/1000)
	for _, set := range e.With {
		line += fmt.Sprintf(" with %d %s", set.Channel, set.Position)
	}
	if e.Alike() {
		line += " alike"
	}
	return line
}

const (
	offInner    = "plain: {when: [{inner: [0, 1300]}], wanted_at: [{inner: back}], does: nothing}"
	damps       = "damping: {when: [{inner: [1300, 1700]}], wanted_at: [{inner: middle}], does: returns}"
	uprightDown = "upright: {when: [{inner: [1700, 3000], outer: [0, 1500]}], wanted_at: [{inner: front, outer: down}], does: stays}"
	courseUp    = "course: {when: [{inner: [1700, 3000], outer: [1500, 3000]}], wanted_at: [{inner: front, outer: up}], does: stays}"
)

func TestEdges(t *testing.T) {
	for _, c := range []struct {
		name  string
		modes []string
		want  []string
	}{
		{"one channel, with a hole between two windows",
			[]string{offInner, "damping: {when: [{inner: [1320, 1700]}], wanted_at: [{inner: middle}], does: returns}"},
			[]string{"5 plain/damping 1300..1320 stepped 1100..1500"}},
		{"two channels: each edge once, and along its own", []string{offInner, damps, uprightDown, strings.Replace(courseUp, "stays", "returns", 1)},
			[]string{"5 plain/damping 1300..1300 stepped 1100..1500", "5 damping/upright 1700..1700 stepped 1500..1900 with 6 down",
				"6 upright/course 1500..1500 stepped 1100..1900 with 5 front"}},
		{"modes that answer alike are neighbours, too", []string{offInner, damps, uprightDown, courseUp},
			[]string{"5 plain/damping 1300..1300 stepped 1100..1500", "5 damping/upright 1700..1700 stepped 1500..1900 with 6 down",
				"6 upright/course 1500..1500 stepped 1100..1900 with 5 front alike"}},
		{"of an edge that is there twice that whose modes differ", []string{offInner,
			"also: {when: [{inner: [1300, 1700], outer: [0, 1500]}], wanted_at: [{inner: middle, outer: down}], does: nothing}",
			"other: {when: [{inner: [1300, 1700], outer: [1500, 3000]}], wanted_at: [{inner: middle, outer: up}], does: returns}"},
			[]string{"5 plain/other 1300..1300 stepped 1100..1500 with 6 up", "6 also/other 1500..1500 stepped 1100..1900 with 5 middle"}},
		{"of a mode with two windows beside one another only what borders on others",
			[]string{"plain: {when: [{inner: [0, 1000]}, {inner: [1000, 1300]}], wanted_at: [{inner: back}], does: nothing}", damps},
			[]string{"5 plain/damping 1300..1300 stepped 1100..1500"}},
		{"of modes of which nothing is said nobody knows",
			[]string{"plain: {when: [{inner: [0, 1300]}], wanted_at: [{inner: back}]}", "damping: {when: [{inner: [1300, 1700]}], wanted_at: [{inner: middle}]}"},
			[]string{"5 plain/damping 1300..1300 stepped 1100..1500"}},
		{"two of one name have a number", []string{"plain: {when: [{inner: [0, 1300]}, {inner: [1600, 1700]}], wanted_at: [{inner: back}], does: nothing}",
			"damping: {when: [{inner: [1300, 1600]}, {inner: [1700, 3000]}], wanted_at: [{inner: middle}], does: returns}"},
			[]string{"5 plain/damping 1300..1300 stepped 1100..1500", "5 damping/plain 1600..1600 stepped 1500..1650",
				"5 plain/damping/2 1700..1700 stepped 1650..1900"}},
		{"a knob is stepped from the middle of one window to that of the other, within its travel",
			[]string{"plain: {when: [{dial: [0, 1300]}, {dial: [1600, 1700]}], wanted_at: [{dial: low}], does: nothing}",
				"damping: {when: [{dial: [1300, 1600]}, {dial: [1700, 3000]}], wanted_at: [{dial: high}], does: returns}"},
			[]string{"7 plain/damping 1300..1300 stepped 1000..1450", "7 damping/plain 1600..1600 stepped 1450..1650",
				"7 plain/damping/2 1700..1700 stepped 1650..2000"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := edged(t, c.modes...)
			var got []string
			for _, e := range s.Edges() {
				got = append(got, spelt(e))
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// Where nothing shows an edge, none is to be measured.
func TestEdgesThatNothingShowsAreNotMeasured(t *testing.T) {
	text := strings.Replace(`sheet: 1
model: M
taps: {main: {kind: bus}}
channels:
  5: {name: inner, kind: switch, positions: {back: 1100, middle: 1500, front: 1900}}
stabiliser:
  windows: {from: guess}
  measure: [edges]
  modes:
    `+offInner+"\n    "+damps+"\n", "returns", "nothing", 1)
	_, err := sheet.Read("alike", []byte(text))
	require.ErrorContains(t, err, "no two modes beside one another that answer a tilt in different ways")
}

// What was measured is in the lines of all modes whose windows meet there, and a window ends before the edge may be.
func TestWindowLines(t *testing.T) {
	s := edged(t, offInner, damps, uprightDown, strings.Replace(courseUp, "stays", "returns", 1))
	inner := sheet.Found{Channel: 5, Ends: 1_700_000, Begins: 1_700_000, From: 1_741_625, To: 1_752_250}
	outer := sheet.Found{Channel: 6, Ends: 1_500_000, Begins: 1_500_000, From: 1_482_000, To: 1_490_000}
	first := sheet.Found{Channel: 5, Ends: 1_300_000, Begins: 1_300_000, From: 1_288_500, To: 1_301_000}
	for _, c := range []struct {
		name  string
		found []sheet.Found
		want  []string
	}{
		{"each mode of the row above", []sheet.Found{inner}, []string{"damping: when: [{inner: [1300, 1741]}]",
			"upright: when: [{inner: [1753, 3000], outer: [0, 1500]}]", "course: when: [{inner: [1753, 3000], outer: [1500, 3000]}]"}},
		{"with what was found before", []sheet.Found{inner, first}, []string{"plain: when: [{inner: [0, 1288]}]", "damping: when: [{inner: [1301, 1741]}]"}},
		{"along the other channel", []sheet.Found{inner, outer}, []string{
			"upright: when: [{inner: [1753, 3000], outer: [0, 1482]}]", "course: when: [{inner: [1753, 3000], outer: [1490, 3000]}]"}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, s.WindowLines(c.found)) })
	}
	assert.Equal(t, unit.Width(1_700_000), s.Stabiliser.Modes[1].When[0][0].Hi, "the sheet stays as it is")
}
