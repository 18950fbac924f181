package monitor_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// airframe is a model as the sheet has its outputs and as the simulated receiver
// mixes them.
type airframe struct{ name, sheet, mixes string }

var airframes = []airframe{
	{"wing", `outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}, corrects: [roll], travel: {from: 988, to: 2012}}
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch], travel: {from: 988, to: 2012}}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw], travel: {from: 988, to: 2012}}
`, `output 1 by aileron 100% corrects roll
output 2 by elevator 100% corrects pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
`},
	{"elevon", `outputs:
  1: {surface: left elevon, moved_by: {aileron: 0.5, elevator: -0.5}, corrects: [roll, pitch], travel: {from: 988, to: 2012}}
  2: {surface: right elevon, moved_by: {aileron: 0.5, elevator: 0.5}, corrects: [roll, pitch], travel: {from: 988, to: 2012}}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw], travel: {from: 988, to: 2012}}
`, `output 1 by aileron 50% elevator -50% corrects roll pitch
output 2 by aileron 50% elevator 50% corrects roll pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
`},
	{"vtail", `outputs:
  1: {surface: aileron, moved_by: {aileron: 1.0}, corrects: [roll], travel: {from: 988, to: 2012}}
  2: {surface: left tail, moved_by: {elevator: 0.5, rudder: 0.5}, corrects: [pitch, yaw], travel: {from: 988, to: 2012}}
  3: {surface: motor, moved_by: {throttle: 1.0}}
  4: {surface: right tail, moved_by: {elevator: -0.5, rudder: 0.5}, corrects: [pitch, yaw], travel: {from: 988, to: 2012}}
`, `output 1 by aileron 100% corrects roll
output 2 by elevator 50% rudder 50% corrects pitch yaw
output 3 by throttle 100%
output 4 by elevator -50% rudder 50% corrects pitch yaw
`},
}

// leadsSetup is the stabiliser of the starter's Reedwing and a board on its leads.
const leadsSetup = `board leads of main
axis roll aileron left 988
axis pitch elevator back 2012
axis yaw rudder right 2012
gyro gain gain none 1500 full 988 2012
gyro rate when inner 0 1300
gyro off when inner 1300 1700
gyro level when inner 1700 3000 outer 0 1500
gyro rate when inner 1700 3000 outer 1500 3000
`

// sheetOf is the starter's sheet with the outputs of an airframe.
func sheetOf(t testing.TB, a airframe) *sheet.Sheet {
	s, err := sheet.Read(a.name, sheetText(t, a))
	require.NoError(t, err)
	return s
}

// sheetText is its text.
func sheetText(t testing.TB, a airframe) []byte {
	before, rest, ok := strings.Cut(string(sheettest.TwoSwitches()), "outputs:\n  1:")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "\n\n")
	require.True(t, ok)
	before = strings.Replace(before, "\nstabiliser:\n", "\nstabiliser:\n  neutral_shift_at_most: 20 us\n", 1)
	return []byte(before + a.sheet + "\n" + after)
}
