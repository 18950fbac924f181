package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func changed(t *testing.T, old, instead string) string {
	t.Helper()
	raw := string(example(t))
	require.Contains(t, raw, old)
	return strings.Replace(raw, old, instead, 1)
}

const (
	scaleLine = "scale: {counts: [172, 1811], us: [988, 2012]}"
	elevons   = `outputs:
  1: {surface: left elevon, moved_by: {aileron: A1, elevator: E1}, corrects: [roll, pitch]}
  2: {surface: right elevon, moved_by: {aileron: A2, elevator: E2}, corrects: [roll, pitch]}
  3: {surface: motor, moved_by: {throttle: 1.0}}
`
)

// Each doubt is said with its place and stops nothing; a stored sheet has none.
func TestDoubts(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"none", "sticks: 2", "sticks: 1", ""},
		{"counts that may be widths", scaleLine, "scale: {counts: [1000, 2000], us: [988, 2012]}",
			"the counts of the scale, 1000 and 2000, look like widths in microseconds"},
		{"counts of two other points", scaleLine, "scale: {counts: [992, 1811], us: [1500, 2012]}", ""},
		{"narrow pulses", scaleLine, "scale: {counts: [172, 1811], us: [560, 2060]}", ""},
		{"gesture on a switch", "limit-learning: {channel: teach, from: rest, to: pressed,",
			"limit-learning: {channel: outer, from: back, to: front,", "limit-learning starts from outer, a switch that is " +
				"not momentary"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := changed(t, c.old, c.new)
			_, doubts, err := sheet.ReadNew("m.yaml", []byte(text))
			require.NoError(t, err)
			_, err = sheet.Read("m.yaml", []byte(text))
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, doubts)
				return
			}
			require.Len(t, doubts, 1)
			assert.Contains(t, doubts[0].Text, c.want)
			assert.Greater(t, doubts[0].Line, 1)
			assert.Greater(t, doubts[0].Column, 1)
		})
	}
}

func TestDoubtsOfElevons(t *testing.T) {
	for _, c := range []struct {
		name, signs string
		doubted     bool
	}{
		{"left and right", "0.5 -0.5 0.5 0.5", false},
		{"mounted mirrored", "0.5 0.5 -0.5 0.5", false},
		{"the same", "0.5 0.5 0.5 0.5", true},
		{"both turned round", "0.5 -0.5 -0.5 0.5", true},
		{"one to be found", `0.5 "?" 0.5 0.5`, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, rest, _ := strings.Cut(string(example(t)), "outputs:")
			_, after, _ := strings.Cut(rest, "heartbeat:")
			section := elevons
			for i, sign := range strings.Fields(c.signs) {
				section = strings.Replace(section, []string{"A1", "E1", "A2", "E2"}[i], sign, 1)
			}
			_, doubts, err := sheet.ReadNew("m.yaml", []byte(before+section+"heartbeat:"+after))
			require.NoError(t, err)
			if !c.doubted {
				assert.Empty(t, doubts)
				return
			}
			require.Len(t, doubts, 1)
			assert.Contains(t, doubts[0].Text, "left elevon and right elevon (outputs 1 and 2) answer aileron and elevator with the same signs")
		})
	}
}

func TestDoubtOfMotor(t *testing.T) {
	for _, c := range []struct{ name, failsafe, want string }{
		{"nothing said", "", "m:4:3: throttle drives a motor, and the sheet does not say"},
		{"of others only", "failsafe: {flag: required, within: 1s, heard: {gain: hold}}", "m:15:1: throttle drives a motor"},
		{"on the bus", "failsafe: {flag: required, within: 1s, heard: {throttle: 988}}", ""},
		{"on the leads", "outputs: {3: {surface: prop, moved_by: {throttle: 1.0}}}\nfailsafe: {flag: required, within: 1s, leads: {motor: stops}}", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, _, _ := strings.Cut(plain, "failsafe:")
			_, doubts, err := sheet.ReadNew("m", []byte(before+c.failsafe+"\n"))
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, doubts)
				return
			}
			require.Len(t, doubts, 1)
			assert.Contains(t, doubts[0].String(), c.want)
		})
	}
}

// What can't be meant is refused in a new sheet; one that a session keeps reads as
// when it was written.
func TestNewSheetsAreRefusedWhereOldOnesAreRead(t *testing.T) {
	for _, c := range []struct{ name, scale string }{
		{"taken for each other", "scale: {counts: [988, 2012], us: [172, 1811]}"},
		{"counts copied", "scale: {counts: [172, 1811], us: [172, 1811]}"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := "sheet: 1\nmodel: M\n" + c.scale + "\nchannels: {1: {name: aileron, kind: stick, ends: {left: 988, right: 1800}}}\n"
			_, err := sheet.Read("m", []byte(text))
			require.NoError(t, err)
			_, _, err = sheet.ReadNew("m", []byte(text))
			assert.ErrorContains(t, err, "m:3:")
			assert.ErrorContains(t, err, "counts and widths are taken for each other")
		})
	}
	_, err := sheet.Read("m",
		[]byte("sheet: 1\nmodel: M\nscale: {counts: [988, 2100], us: [988, 2012]}\nchannels: {1: {name: aileron, kind: "+
			"stick, ends: {left: 988, right: 1800}}}\n"))
	assert.ErrorContains(t, err, "2100 as a count, which can only be a width in microseconds")
}

func TestPercent(t *testing.T) {
	sheetOf := func(percent, ends string) string {
		return "sheet: 1\nmodel: M\n" + percent + "\nchannels: {1: {name: aileron, kind: stick, ends: " + ends + ", neutral: 1500}}\n"
	}
	const usual = "percent: {zero: 1500, full: 2012}"
	for _, c := range []struct {
		name, percent, ends string
		left, right         unit.Width
	}{
		{"common", usual, "{left: -100 %, right: +100 %}", 988_000, 2_012_000},
		{"another maker's", "percent: {zero: 1500, full: 1900}", "{left: -100%, right: 100%}", 1_100_000, 1_900_000},
		{"in quotes, a part", usual, `{left: "-87.5 %", right: "+50.01 %"}`, 1_052_000, 1_756_051},
		{"rounded", "percent: {zero: 1500, full: 2012.001}", "{left: -0.5 %, right: +99.95 %}", 1_497_440, 2_011_745},
		{"reversed", "percent: {zero: 1520, full: 1120}", "{left: +100 %, right: -100 %}", 1_120_000, 1_920_000},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, sheetOf(c.percent, c.ends))
			assert.Equal(t, []sheet.Place{{"left", c.left}, {"right", c.right}}, s.Channels[0].Places)
		})
	}
	for _, c := range []struct{ name, percent, ends, want string }{
		{"not said", "", "{left: -100 %, right: 2012}", "found -100 %, and this sheet does not say which widths 0 % and 100 % are"},
		{"bare", "", "{left: -100, right: 2012}", "write -100 %: +100 % is 1900, 2000 or 2012 us, by maker"},
		{"a count", "", "{left: 172, right: 2012}", "if it is a count of the bus, that is 987.5 us"},
		{"beyond the bus", usual, "{left: -150 %, right: 2012}", "found -150 % (732 us), which the bus cannot carry"},
		{"two signs", usual, "{left: +-100 %, right: 2012}", "found"},
		{"no number", usual, "{left: much %, right: 2012}", "a percentage such as +100 % or -87.5 %"},
		{"no line", "percent: {zero: 1500, full: 1500}", "{left: -100 %, right: 2012}", "found 0 % and 100 % at the same width"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := sheet.Read("m", []byte(sheetOf(c.percent, c.ends)))
			assert.ErrorContains(t, err, c.want)
			assert.Len(t, err, 1, "%v", err)
		})
	}
}

// A position whose mode depends on another switch lies in some cell.
func TestWantedPositionThatDependsOnAnotherSwitch(t *testing.T) {
	text := strings.Replace(string(example(t)), "wanted_at: [{inner: back}]", "wanted_at: [{inner: front}]", 1)
	_, err := sheet.Read("m", []byte(text))
	assert.ErrorContains(t, err, "wanted for damping, which lies in the cell of hold-course or elsewhere, as outer stands")
}

// A stick that steers motors is said to be one; brakes on a lead of their own are not.
func TestMotorsThatAStickSteers(t *testing.T) {
	text := strings.Replace(string(sheet.Starter()), "surface: motor\n    moved_by: {throttle: 1.0}",
		"surface: left motor\n    moved_by: {throttle: 1.0, rudder: 0.2}", 1)
	_, doubts, err := sheet.ReadNew("sheet", []byte(text))
	require.NoError(t, err)
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Text, "left motor (output 3) is moved by rudder too: with throttle at cut that stick must not start it")
	_, doubts, err = sheet.ReadNew("sheet", sheet.Starter())
	require.NoError(t, err)
	assert.Empty(t, doubts)
}
