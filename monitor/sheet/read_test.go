package sheet_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/scale"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

func read(t *testing.T, text string) *sheet.Sheet {
	t.Helper()
	s, err := sheet.Read("bench.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

func stick(number int, name, one string, width unit.Width, other string, otherWidth unit.Width) sheet.Channel {
	return sheet.Channel{Number: number, Name: name, Kind: sheet.Stick, Neutral: 1_500_000,
		Places: []sheet.Place{{Name: one, Width: width}, {Name: other, Width: otherWidth}}}
}

// expected is what testdata/example.yaml says, written out by hand.
func expected() *sheet.Sheet {
	const million = 1_000_000
	return &sheet.Sheet{
		Model:     "Reedwing 1400",
		Sticks:    2,
		Protocol:  servobus.Protocol(),
		Taps:      []sheet.Tap{{Name: "main", Kind: "bus", Carries: "heard"}, {Name: "leads", Kind: "pulses", Carries: "unknown"}},
		Scale:     scale.Scale{Counts: [2]int64{172, 1811}, Nanos: [2]int64{988_000, 2_012_000}},
		Tolerance: sheet.Tolerance{Position: 12_000, Preset: 12_000, Neutral: 8_000},
		Channels: []sheet.Channel{
			stick(1, "aileron", "left", 988_000, "right", 2_012_000),
			stick(2, "elevator", "back", 2_012_000, "forward", 988_000),
			{Number: 3, Name: "throttle", Kind: sheet.Throttle, Drives: "motor", Places: []sheet.Place{{"cut", 988_000}, {"idle", 1_010_000}, {"full", 2_012_000}}},
			stick(4, "rudder", "left", 988_000, "right", 2_012_000),
			{Number: 9, Name: "gain", Kind: sheet.Knob, Places: []sheet.Place{{"anticlockwise", 1_500_000}, {"clockwise", 2_012_000}}},
			{Number: 11, Name: "inner", Kind: sheet.Switch, Places: []sheet.Place{{"back", 988_000}, {"middle", 1_500_000}, {"front", 2_012_000}}},
			{Number: 13, Name: "outer", Kind: sheet.Switch, Places: []sheet.Place{{"back", 988_000}, {"front", 2_012_000}}},
			{Number: 15, Name: "teach", Kind: sheet.Momentary, Places: []sheet.Place{{"rest", 988_000}, {"pressed", 2_012_000}}},
		},
		Gain: &sheet.Gain{Law: sheet.Folded, Channel: 9, Zero: 1_500_000, Full: []unit.Width{988_000, 2_012_000}},
		Stabiliser: &sheet.Stabiliser{From: "manual", Margin: 100_000, Modes: []sheet.Mode{
			{Name: "damping", When: []sheet.Cell{{{11, 0, 1_300_000}}}, WantedAt: []sheet.Combination{{{11, "back", 988_000}}}, Does: sheet.DoesReturn},
			{Name: "plain", When: []sheet.Cell{{{11, 1_300_000, 1_700_000}}}, WantedAt: []sheet.Combination{{{11, "middle", 1_500_000}}}, Does: sheet.DoesNothing},
			{Name: "upright", When: []sheet.Cell{{{11, 1_700_000, 3_000_000}, {13, 0, 1_500_000}}},
				WantedAt: []sheet.Combination{{{11, "front", 2_012_000}, {13, "back", 988_000}}}, Does: sheet.DoesStay},
			{Name: "hold-course", When: []sheet.Cell{{{11, 1_700_000, 3_000_000}, {13, 1_500_000, 3_000_000}}},
				WantedAt: []sheet.Combination{{{11, "front", 2_012_000}, {13, "front", 2_012_000}}}},
		}},
		Gestures: []sheet.Gesture{{Name: "limit-learning", Channel: 15, From: "rest", To: "pressed", Times: 3, Within: 3_000_000_000, Allowed: "in-drill"}},
		Failsafe: &sheet.Failsafe{Flag: "required", Within: 1_500_000_000,
			Heard: sheet.Presets{Default: sheet.Preset{Rule: sheet.Hold}, Named: []sheet.PresetFor{
				{3, sheet.Preset{Rule: sheet.AtMost, Width: 1_000_000}},
				{11, sheet.Preset{Rule: sheet.Exact, Width: 1_500_000}},
				{9, sheet.Preset{Rule: sheet.Exact, Width: 1_756_000}},
				{15, sheet.Preset{Rule: sheet.AtPlace, Place: "rest", Width: 988_000}},
			}},
			Leads: sheet.Presets{Default: sheet.Preset{Rule: sheet.Follows}, Named: []sheet.PresetFor{{3, sheet.Preset{Rule: sheet.Stops}}}},
		},
		Outputs: []sheet.Output{
			{Number: 1, Surface: "left aileron", MovedBy: []sheet.Movement{{Channel: 1, Weight: million}}, Corrects: []string{"roll"}},
			{Number: 2, Surface: "elevator", MovedBy: []sheet.Movement{{Channel: 2, Weight: million}}, Corrects: []string{"pitch"}},
			{Number: 3, Surface: "motor", MovedBy: []sheet.Movement{{Channel: 3, Weight: million}}},
			{Number: 4, Surface: "rudder", MovedBy: []sheet.Movement{{Channel: 4, Weight: million}}, Corrects: []string{"yaw"}},
		},
		Heartbeat: &sheet.Heartbeat{Channel: 16},
		Link:      &sheet.Link{MissedAtMost: 1_000},
	}
}

func TestReadExample(t *testing.T) {
	assert.EqualExportedValues(t, expected(), read(t, string(example(t))))
}

// The same sheet as other editors save it.
func TestReadOtherLineEndsAndMark(t *testing.T) {
	text := string(example(t))
	assert.EqualExportedValues(t, expected(), read(t, strings.ReplaceAll(text, "\n", "\r\n")), "CR LF")
	assert.EqualExportedValues(t, expected(), read(t, "\uFEFF"+text), "byte order mark")
	assert.EqualExportedValues(t, expected(), read(t, strings.TrimRight(text, "\n")), "no last line end")
	assert.EqualExportedValues(t, expected(), read(t, "---\n"+text), "document start")
}

// The sheet that other tests take says the same as the example, at length.
func TestTwoSwitches(t *testing.T) {
	s := read(t, string(sheettest.TwoSwitches()))
	s.Model = expected().Model
	assert.EqualExportedValues(t, expected(), s)
}

// Nothing in the starter is scolded, and it has one of everything.
func TestStarter(t *testing.T) {
	s, doubts, err := sheet.ReadNew("starter.yaml", sheet.Starter())
	require.NoError(t, err)
	assert.Empty(t, doubts)
	assert.Equal(t, []int{1, 2, 3, 4, 6, 7, 14}, numbers(s.Channels))
	for place, want := range map[unit.Width]string{1040: "plain", 1330: "damping", 1640: "upright", 1930: "hold-course"} {
		mode, _ := s.ModeAt(func(int) unit.Width { return place * 1000 })
		assert.Equal(t, want, mode)
	}
	assert.Equal(t, &sheet.Gain{Law: sheet.OneSided, Channel: 6, Zero: 1_040_000, Full: []unit.Width{1_930_000}}, s.Gain)
	assert.Len(t, s.Outputs, 4)
	assert.NotNil(t, s.Heartbeat)
	assert.Len(t, s.Gestures, 1)
}

func TestStarterIsACopy(t *testing.T) {
	sheet.Starter()[0] = 'x'
	assert.EqualValues(t, '#', sheet.Starter()[0])
}

const bare = "sheet: 1\nmodel: Bare\nchannels:\n  7: {name: flaps, kind: switch, positions: {up: 988, down: 2012}}\n"

func TestReadDefaults(t *testing.T) {
	s := read(t, bare)
	assert.EqualExportedValues(t, &sheet.Sheet{
		Model:     "Bare",
		Protocol:  servobus.Protocol(),
		Taps:      []sheet.Tap{{Name: "main", Kind: "bus", Carries: "unknown"}},
		Scale:     scale.Common,
		Tolerance: sheet.Tolerance{Position: 12_000, Preset: 12_000, Neutral: 8_000},
		Channels:  []sheet.Channel{{Number: 7, Name: "flaps", Kind: sheet.Switch, Places: []sheet.Place{{"up", 988_000}, {"down", 2_012_000}}}},
	}, s)
	_, ok := s.ModeAt(func(int) unit.Width { return 1_500_000 })
	assert.False(t, ok)
	assert.Empty(t, s.ModeChannels())
}

func TestReadWidths(t *testing.T) {
	for written, want := range map[string]int64{
		"1500": 1_500_000, "1500 us": 1_500_000, "1500us": 1_500_000, `"1500 us"`: 1_500_000, "1500.5": 1_500_500,
		"1500.125 us": 1_500_125, "1500.500000": 1_500_500, "1500 \u00B5s": 1_500_000, "1500 \u03BCs": 1_500_000, "1500.0": 1_500_000,
	} {
		s := read(t, strings.Replace(bare, "988", written, 1))
		assert.Equal(t, unit.Width(want), s.Channels[0].Places[0].Width, written)
	}
}

func TestReadTimes(t *testing.T) {
	for written, want := range map[string]int64{"1.5s": 1_500_000_000, "300ms": 300_000_000, "2 s": 2_000_000_000, "0.0015 s": 1_500_000} {
		s := read(t, bare+"failsafe: {flag: absent, within: "+written+"}\n")
		assert.Equal(t, unit.Duration(want), s.Failsafe.Within, written)
	}
}

func TestReadKinds(t *testing.T) {
	s := read(t, `
sheet: 1
model: "1400"
channels:
  18: {name: light, kind: momentary, rest: 988, pressed: 2012}
  17: {name: gear, kind: switch, positions: {up: 2012, down: 988}}
  3: {name: power, kind: throttle, full: 988, cut: 2012}
  9: {name: gain, kind: fixed, value: 1756.25}
  11: {name: sel, kind: switch, positions: {off: 988, on: 2012}}
gain: {law: one-sided, channel: gain, zero: 1500, full: 2012}
stabiliser:
  windows: {from: measured}
  modes: {hover: {when: [{sel: [1500, 3000], gain: [1600, 1800]}, {sel: [0, 900]}], wanted_at: [{gain: value, sel: on}]}, off: {when: [{sel: [900, 1500]}]}}
  level_now: {channel: light, when: pressed}
mark_button: {channel: light, when: pressed}
gestures: {learning: {channel: sel, from: off, times: 3, within: 3s, allowed: never}}
mixes_wanted: [{from: gear, to: power, at_most: 60 us}]
outputs:
  12: {surface: left elevon, moved_by: {gain: -0.5, power: "?"}, corrects: [roll, pitch]}
  2: {surface: left motor, moved_by: {power: 0.25}}
failsafe: {flag: optional, within: 1s, heard: {power: cut, gain: {at_least: 1500}}, leads: {12: 1500, left motor: {at_most: 700}}}
`)
	assert.Equal(t, "1400", s.Model)
	assert.Equal(t, []int{3, 9, 11, 17, 18}, numbers(s.Channels))
	gear, _ := s.ByName("gear")
	assert.True(t, s.Digital(gear.Number))
	assert.Equal(t, []sheet.Place{{"up", 2_012_000}, {"down", 988_000}}, gear.Places, "order of the sheet")
	power, _ := s.Channel(3)
	assert.False(t, s.Digital(power.Number))
	assert.Equal(t, []sheet.Place{{"full", 988_000}, {"cut", 2_012_000}}, power.Places)
	assert.Empty(t, power.Drives)
	assert.Equal(t, &sheet.Gain{Law: sheet.OneSided, Channel: 9, Zero: 1_500_000, Full: []unit.Width{2_012_000}}, s.Gain)
	assert.Equal(t, &sheet.Righting{Setting: sheet.Setting{Channel: 18, Position: "pressed", Width: 2_012_000}, Key: "level_now"}, s.Righting())
	assert.Equal(t, &sheet.Setting{Channel: 18, Position: "pressed", Width: 2_012_000}, s.MarkButton)
	assert.Equal(t, sheet.Combination{{9, "value", 1_756_250}, {11, "on", 2_012_000}}, s.Stabiliser.Modes[0].WantedAt[0])
	assert.Empty(t, s.Stabiliser.Modes[1].WantedAt)
	assert.Zero(t, s.Stabiliser.Margin)
	assert.Equal(t, sheet.Gesture{Name: "learning", Channel: 11, From: "off", Times: 3, Within: 3_000_000_000, Allowed: "never"}, s.Gestures[0])
	assert.Equal(t, []sheet.Mix{{From: 17, To: 3, AtMost: 60_000}}, s.Mixes)
	assert.Equal(t, []sheet.Movement{{Channel: 9, Weight: -500_000}, {Channel: 3, Find: true}}, s.Outputs[1].MovedBy)
	assert.Equal(t, 2, s.Outputs[0].Number)
	assert.Equal(t, []sheet.PresetFor{{3, sheet.Preset{Rule: sheet.AtPlace, Place: "cut", Width: 2_012_000}},
		{9, sheet.Preset{Rule: sheet.AtLeast, Width: 1_500_000}}}, s.Failsafe.Heard.Named)
	assert.Equal(t, []sheet.PresetFor{{12, sheet.Preset{Rule: sheet.Exact, Width: 1_500_000}},
		{2, sheet.Preset{Rule: sheet.AtMost, Width: 700_000}}}, s.Failsafe.Leads.Named)
}

func numbers(channels []sheet.Channel) []int {
	var n []int
	for _, c := range channels {
		n = append(n, c.Number)
	}
	return n
}

func TestGainInReceiver(t *testing.T) {
	assert.Equal(t, &sheet.Gain{Law: sheet.InReceiver}, read(t, bare+"gain: {law: in-receiver}\n").Gain)
}

func TestPresetsOf(t *testing.T) {
	heard := read(t, string(example(t))).Failsafe.Heard
	named, ok := heard.Of(9)
	assert.True(t, ok)
	assert.Equal(t, sheet.Preset{Rule: sheet.Exact, Width: 1_756_000}, named)
	byDefault, ok := heard.Of(1)
	assert.True(t, ok)
	assert.Equal(t, sheet.Preset{Rule: sheet.Hold}, byDefault)
	silent := read(t, bare+"failsafe: {flag: required, within: 1s, heard: {flaps: hold}}\n").Failsafe
	_, ok = silent.Heard.Of(1)
	assert.False(t, ok, "no default: the sheet says nothing about channel 1")
}

// "motor" means every output that the motor's channel moves.
func TestLeadsMotor(t *testing.T) {
	text := strings.Replace(string(example(t)), "surface: motor", "surface: left engine", 1)
	text = strings.Replace(text, "  4: {surface: rudder, moved_by: {rudder: 1.0}", "  4: {surface: right engine, moved_by: {throttle: -1.0}", 1)
	text = strings.Replace(text, "motor: stops}", "motor: stops, left aileron: silent}", 1)
	leads := read(t, text).Failsafe.Leads
	assert.Equal(t, []sheet.PresetFor{
		{3, sheet.Preset{Rule: sheet.Stops}}, {4, sheet.Preset{Rule: sheet.Stops}}, {1, sheet.Preset{Rule: sheet.Silent}},
	}, leads.Named)
}

func TestPlaceNeutral(t *testing.T) {
	s := read(t, strings.Replace(string(example(t)), "teach: rest}", "aileron: neutral}", 1))
	assert.Equal(t, sheet.PresetFor{Number: 1, Preset: sheet.Preset{Rule: sheet.AtPlace, Place: "neutral", Width: 1_500_000}}, s.Failsafe.Heard.Named[3])
	throttle, _ := s.Channel(3)
	_, ok := throttle.Place("neutral")
	assert.False(t, ok)
}

func TestModeAt(t *testing.T) {
	s := read(t, string(example(t)))
	assert.Equal(t, []int{11, 13}, s.ModeChannels())
	for _, row := range []struct {
		a, b unit.Width
		want string
	}{
		{0, 0, "damping"}, {1_299_999, 2_012_000, "damping"}, {1_300_000, 988_000, "plain"}, {1_699_999, 0, "plain"},
		{1_700_000, 1_499_999, "upright"}, {1_700_000, 1_500_000, "hold-course"}, {2_999_999, 2_999_999, "hold-course"},
		{3_000_000, 988_000, ""}, {2_012_000, 3_000_000, ""}, {-1, 988_000, ""},
	} {
		name, ok := s.ModeAt(func(channel int) unit.Width { return map[int]unit.Width{11: row.a, 13: row.b}[channel] })
		assert.Equal(t, row.want, name, "%d %d", row.a, row.b)
		assert.Equal(t, row.want != "", ok)
	}
}

func TestLookUps(t *testing.T) {
	s := read(t, string(example(t)))
	c, ok := s.ByName("outer")
	require.True(t, ok)
	assert.Equal(t, 13, c.Number)
	_, ok = s.ByName("inter")
	assert.False(t, ok)
	_, ok = s.Channel(5)
	assert.False(t, ok)
}

// The numbers of the bounds: one step inside is read, one step outside is not.
func TestBounds(t *testing.T) {
	for _, row := range []struct{ name, old, inside, outside string }{
		{"places at twice the tolerance", "rest: 988, pressed: 2012", "rest: 988, pressed: 1012", "rest: 988, pressed: 1011.999"},
		{"lowest width of the scale", "back: 2012, forward: 988", "back: 2012, forward: 880.539", "back: 2012, forward: 880.538"},
		{"highest width of the scale", "back: 2012, forward: 988", "back: 2159.446, forward: 988", "back: 2159.447, forward: 988"},
		{"touching windows", "[1300, 1700]", "[1300, 1700]", "[1299.999, 1700]"},
		{"wanted at the upper edge", "middle: 1500", "middle: 1699.999", "middle: 1700"},
		{"wanted at the lower edge", "middle: 1500", "middle: 1300", "middle: 1299.999"},
		{"idle at cut", "idle: 1010", "idle: 988", "idle: 987.999"},
		{"idle below full", "idle: 1010", "idle: 2011.999", "idle: 2012"},
		{"neutral above an end", "forward: 988}, neutral: 1500", "forward: 988}, neutral: 988.001", "forward: 988}, neutral: 988"},
		{"last output", "  4: {surface", "  32: {surface", "  33: {surface"},
		{"digital channel", "  13: {name: outer", "  18: {name: outer", "  19: {name: outer"},
		{"tolerance of one count", "neutral: 8 us", "neutral: 0.625", "neutral: 0.624"},
		{"share", `"0.1 %"`, `"100 %"`, `"100.0001 %"`},
		{"weight", "{rudder: 1.0}", "{rudder: -10}", "{rudder: -10.000001}"},
		{"lead pulse", "motor: stops", "motor: {at_most: 300}", "motor: {at_most: 299.999}"},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := string(example(t))
			require.Contains(t, text, row.old)
			_, err := sheet.Read("bench.yaml", []byte(strings.Replace(text, row.old, row.inside, 1)))
			assert.NoError(t, err)
			_, err = sheet.Read("bench.yaml", []byte(strings.Replace(text, row.old, row.outside, 1)))
			assert.Error(t, err)
		})
	}
}

// All mistakes come at once, by place, and none that only follows from another.
// BENCHPROOF_REWRITE=1 writes the expected text anew.
func TestManyMistakes(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "many-mistakes.yaml"))
	require.NoError(t, err)
	_, err = sheet.Read("many-mistakes.yaml", text)
	require.Error(t, err)
	golden := filepath.Join("testdata", "many-mistakes.txt")
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
	}
	want, readErr := os.ReadFile(golden)
	require.NoError(t, readErr)
	assert.Equal(t, string(want), err.Error()+"\n")
}

// Widths come from a table; counts beyond it are worked out.
func TestWidthsAreThoseOfTheScale(t *testing.T) {
	for _, s := range []*sheet.Sheet{read(t, bare), read(t, bare+"scale: {counts: [200, 1800], us: [1000, 2000]}\n")} {
		for count := range uint32(5000) {
			require.Equal(t, unit.Width(s.Scale.Width(int64(count))), s.Width(count), count)
		}
	}
}
