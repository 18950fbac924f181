package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

func TestWhatIsNotHeardComesFirst(t *testing.T) {
	live := state.Tap{Name: "main", Up: true, Locked: true, Signal: event.SignalLive}
	inFailsafe, gone, silent, alien := live, live, live, live
	inFailsafe.Signal = event.SignalFailsafe
	gone.Up, gone.Why = false, "unplugged"
	silent.Locked, silent.LastNS, silent.Name = false, 5, "leads"
	alien.LineFault = &event.LineFaultData{Cause: "inverted"}
	silentToo := silent
	silentToo.Name = "main"

	for _, c := range []struct {
		name  string
		taps  []state.Tap
		drill string
		want  string // within the first step
		none  bool   // the first step is one of the sheet's
	}{
		{name: "all is well", taps: []state.Tap{live}, none: true},
		{name: "the transmitter is off", taps: []state.Tap{inFailsafe},
			want: "switch the transmitter on, sticks and switches at home: the receiver of main is in failsafe"},
		{name: "a drill asked for it", taps: []state.Tap{inFailsafe}, drill: "failsafe", none: true},
		{name: "the adapter is out", taps: []state.Tap{gone}, want: "plug in the adapter of main again"},
		{name: "no supply", taps: []state.Tap{silentToo, silent}, want: "at the lead of main and leads, and whether the transmitter is on"},
		{name: "the line is inverted", taps: []state.Tap{alien}, want: "see why main can't be read"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, claims := judged(t, sheet.Starter(), only("position/aid/third"))
			s.Taps, s.Drill = c.taps, c.drill
			steps := view.Next(s, claims)
			if c.none {
				assert.Equal(t, "put aid to third", steps[0].Do)
				return
			}
			assert.Contains(t, steps[0].Do, c.want)
			assert.NotNil(t, steps[0].Claims)
			assert.Empty(t, steps[0].Claims)
			assert.Equal(t, "put aid to third", steps[1].Do)
		})
	}
}
