package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// presetsSettle is how long the values must stand before failsafe.settled says what
// they are. Some receivers hold for a moment first; what comes later is reported anew.
const presetsSettle = 300 * unit.Millisecond

// settledReports is how often a loss is reported: a stabiliser may move values for ever.
const settledReports = 3

// reportSettled says what every channel stands at once a flagged failsafe has gone on for as
// long as the sheet allows, beside what it stood at before the loss, and again when
// the values have gone elsewhere since.
//
//	flags   . . L L F F F F F F F F F F
//	          ^ last live          ^ reported: the sheet's "within" after the last
//	                                 live frame, and values still
func (x *lossState) reportSettled(now unit.Time, moves *bursts, v *base.View, emit event.Emit) {
	stands := now.Sub(max(moves.Since, x.At))
	if x.Flags.Failsafe == 0 || x.Restarted != 0 || stands < presetsSettle || now < x.At.Add(within(v)) {
		return
	}
	if x.Reports > 0 && x.Reported == moves.Now || x.Reports == settledReports {
		return
	}
	x.Reports, x.Reported = x.Reports+1, moves.Now
	t := &v.Taps[x.Tap]
	d := event.FailsafeSettledData{Tap: t.Name, LiveNS: x.At, StandsNS: stands}
	if x.By == "unknown" {
		d.LiveNS = -1
	}
	for i := range v.Protocol.Channels {
		d.Was = append(d.Was, v.Sheet.Width(x.Was[i]))
		d.Now = append(d.Now, v.Sheet.Width(moves.Now[i]))
	}
	emit(event.FailsafeSettled, now.Add(-stands), t.About(), d)
}
