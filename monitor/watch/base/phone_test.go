package base_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// When nothing follows from a phone, why; and whether one is there, a radio beside the receiver.
func TestWhatAPhoneSees(t *testing.T) {
	for _, x := range []struct {
		name   string
		ask    drill.Ask
		change func(p *base.Phone)
		why    string // "": what it felt tells
		asked  string
		lies   bool
		there  bool
	}{
		{"it is heard", drill.Ask{Axis: sheet.Pitch}, func(*base.Phone) {}, "", "tail raised", true, true},
		{"the opposite way", drill.Ask{Act: drill.ActOpposite, Axis: sheet.Pitch}, func(*base.Phone) {}, "", "nose raised", true, true},
		{"its page is hidden", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Asleep = true }, "asleep", "tail raised", false, true},
		{"it sleeps, nothing comes", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Asleep, p.Heard = true, false }, "asleep", "tail raised", false, false},
		{"nothing comes", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Heard, p.Track.Heard = false, true }, "not-heard", "tail raised", false, false},
		{"it came since", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Track.Began = unit.Time(2 * unit.Second) }, "not-heard", "tail raised", true, true},
		{"it is slow", drill.Ask{Axis: sheet.Roll}, func(p *base.Phone) { p.Troubles = []string{event.TiltSlow} }, event.TiltSlow, "left wing raised", false, true},
		{"it has no gyroscope", drill.Ask{Axis: sheet.Yaw}, func(p *base.Phone) { p.Gyro = false }, event.TiltNoGyroscope, "nose turned left", true, true},
		{"which pitch needs not", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Gyro = false }, "", "tail raised", true, true},
		{"how it lies was not shown", drill.Ask{Axis: sheet.Pitch}, func(p *base.Phone) { p.Laid = false }, "", "tail raised", false, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			s, err := sheet.Read("phone", []byte(strings.Replace(string(sheettest.TwoSwitches()), "taps:\n", "taps:\n  phone: {kind: tilt, top: nose}\n", 1)))
			require.NoError(t, err)
			v := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "phone", Kind: "tilt"}})
			p := v.Taps[2].Phone
			require.NotNil(t, p)
			p.Heard, p.Gyro, p.Laid, p.Track.Heard, p.Track.Last.Gyro = true, true, true, true, true
			x.change(p)
			seen := v.Seen(x.ask, unit.Time(unit.Second), unit.Time(3*unit.Second))
			require.NotNil(t, seen)
			assert.Equal(t, x.why, seen.Why)
			assert.Equal(t, x.asked, seen.Asked)
			assert.Equal(t, x.why != "", seen.Sight == attitude.SightUnknown)
			assert.Equal(t, x.lies, v.Lies(unit.Time(3*unit.Second)) != nil)
			assert.Equal(t, x.there, v.PhoneThere())
			assert.True(t, v.HasPhone())
		})
	}
}
