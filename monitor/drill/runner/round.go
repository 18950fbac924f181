package runner

import (
	"fmt"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// What is asked about a phone that is turned on its spot.
const (
	roundRestless = "the phone on the model did not feel it rest: leave phone and model alone, and press Enter a second later"
	roundAsk      = "the phone on the model felt itself turned by %s, not half round: " +
		"turn it on, on its spot, and press Enter again; press Enter alone to leave it out"
)

// turns takes the answer to a prompt that has the phone on the model turned half round, or back. Where it does not lie as it
// was, all angles count from how it lies now.
func (r *Runner) turns(p *drill.Prompt, at unit.Time, h *BusState, emit event.Emit) {
	if p.Asks.Act != drill.ActRound || h.Lies == nil || r.Flying == nil {
		return
	}
	lies := h.Lies(at)
	switch {
	case lies == nil || lies.Rest.Tenths == 0:
		r.Turned = nil
		return
	case p.Asks.Side > 0:
		r.Turned = &lies.Rest
		return
	case r.Turned == nil:
		return
	}
	round := attitude.RoundOf(r.Flying, r.Turned, &lies.Rest, lies.Rests, lies.Top)
	r.Flying = &lies.Rest
	if round.Why == "" {
		clean := lies.Rest.Without(round.Bias)
		r.Round, r.Flying = &round, &clean
	}
	emit(event.PhoneTurned, lies.Rest.FromNS, event.AboutTap.Called(r.phone.Name), event.PhoneTurnedData{Round: round})
}

// doubtRound is about a phone that was not turned half round.
func (r *Runner) doubtRound(p *drill.Prompt, at unit.Time, h *BusState) doubt {
	if h.Lies == nil || r.Flying == nil {
		return doubt{}
	}
	lies, from := h.Lies(at), r.Flying
	if p.Asks.Side < 0 {
		from = r.Turned
	}
	switch {
	case lies == nil || from == nil:
		return doubt{}
	case lies.Rest.Tenths == 0:
		return doubt{feltNoRest, roundRestless}
	}
	turn := attitude.TurnOf(from, &lies.Rest, lies.Top)
	if !turn.Gyro || attitude.Half(&turn) {
		return doubt{}
	}
	by := event.WholeDegrees(max(turn.YawCdeg, -turn.YawCdeg))
	return doubt{"the phone was turned by " + by + ", not half round", fmt.Sprintf(roundAsk, by)}
}
