package account

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Hear takes an event, before the claims do.
func (a *Account) Hear(e *event.Event, v *base.View, emit event.Emit) {
	a.shown = nil
	switch d := e.Data.(type) {
	case event.ClockData:
		a.clockSet(e, &d)
	case event.SilentData:
		a.anySilent(e, v)
	case event.OutputBackData:
		a.outputBack(e, &d, v, emit)
	case event.BoardHeardData:
		a.onBoard(true)
	case event.BoardLostData:
		a.boardLost()
	case event.LockedData:
		a.locked(e, &d)
	case event.LateData:
		a.late(e, &d)
	case event.FailsafeData:
		a.failsafe(e, &d)
	case event.ValueSpikedData:
		a.spiked(&d)
	case event.ValuesStillData:
		a.still(e, &d)
	case event.LossData:
		a.measured(&d, v, emit)
	}
}

func (a *Account) late(e *event.Event, d *event.LateData) {
	if t := a.of(e); t != nil && !d.Opened && !a.aside() {
		t.Late++
	}
}

func (a *Account) spiked(d *event.ValueSpikedData) {
	if t := a.called(d.Tap); t != nil && !a.aside() {
		t.Spikes++
	}
}

// of is the tap that an event is about, nil where it is about something else.
func (a *Account) of(e *event.Event) *Tap {
	name, ok := event.AboutTap.Name(e.About)
	if !ok {
		return nil
	}
	return a.called(name)
}

func (a *Account) called(name string) *Tap {
	for i := 1; i < len(a.Taps); i++ {
		if a.Taps[i].Name == name {
			return &a.Taps[i]
		}
	}
	return nil
}

// anySilent takes a silence of the bus, of an output or of the board.
func (a *Account) anySilent(e *event.Event, v *base.View) {
	switch e.Kind {
	case event.OutputSilent:
		a.outputSilent(e)
	case event.BoardSilent:
		a.onBoard(false)
	case event.BusSilent:
		a.fellSilent(e, v)
	}
}

// fellSilent takes a silence of the bus.
func (a *Account) fellSilent(e *event.Event, v *base.View) {
	t := a.of(e)
	if t == nil || !t.Heard || !t.Up || e.From < a.Awake {
		return // nobody saw it begin
	}
	t.Quiet = quiet{Open: true, From: e.From}
	if a.aside() {
		return
	}
	t.Quiet.Counted = true
	t.Silences++
	t.Strip.at(a.Until.Sub(a.Since)).Silences++
	if t == a.first(v) {
		a.Dips.bus(e.From, a)
	}
}

// first is the bus that belongs to the leads.
func (a *Account) first(v *base.View) *Tap {
	if n := int(v.FirstBus()); n > 0 && n < len(a.Taps) {
		return &a.Taps[n]
	}
	return nil
}

// locked takes a silence that is over: one of a second or more is an outage.
func (a *Account) locked(e *event.Event, d *event.LockedData) {
	if t := a.of(e); t != nil && t.Quiet.Open && !t.Gone.Open && d.SilentNS >= fellSilent {
		t.begin(t.Quiet.From, silent, a)
	}
}

func (a *Account) failsafe(e *event.Event, d *event.FailsafeData) {
	t := a.of(e)
	if t == nil || e.Kind != event.FailsafeEntered || a.aside() || d.Again || d.BeforeLink && !d.AfterSilence {
		return
	}
	t.Failsafes++
	t.Strip.at(a.Until.Sub(a.Since)).Failsafes++
}

// still takes a heartbeat that stopped.
func (a *Account) still(e *event.Event, d *event.ValuesStillData) {
	if t := a.called(d.Tap); t != nil && e.Kind == event.ValuesStill && d.Because == "heartbeat" && !t.Gone.Open {
		t.begin(e.From, unflagged, a)
	}
}

// measured takes what was measured of a loss. One that was found in the values is known
// only now that it is over; one that was none is no outage.
func (a *Account) measured(d *event.LossData, v *base.View, emit event.Emit) {
	t := a.called(d.Tap)
	switch {
	case t == nil || d.Drill != "":
	case !d.Shown():
		if t.Gone.Open && t.Gone.Left == 0 && t.Gone.Cause == flagged {
			t.Gone = gone{}
		}
	case t.Gone.Open:
	case d.LiveNS >= max(t.Ended, a.Awake) && d.BackNS >= 0 && !a.aside():
		one := state.SoakOutage{FromNS: d.LiveNS, ToNS: d.LiveNS.Add(d.BackNS), Cause: state.OutageCauses[unflagged]}
		t.takeBack(d.BackNS)
		a.enter(a.tapOf(t), one, unflagged, v, emit)
	}
}

func (a *Account) tapOf(t *Tap) uint8 {
	for i := range a.Taps {
		if &a.Taps[i] == t {
			return uint8(i)
		}
	}
	return event.BenchTap
}

// dips counts silences of bus and leads in step: one supply feeds both.
type dips struct {
	Count           int64
	Bus, Leads, Was unit.Time // onsets of the latest silences, and of the latest dip; 0: none
}

func (d *dips) bus(from unit.Time, a *Account) {
	d.Bus = from
	d.look(a)
}

func (d *dips) lead(from unit.Time, a *Account) {
	d.Leads = from
	d.look(a)
}

func (d *dips) look(a *Account) {
	if d.Bus == 0 || d.Leads == 0 || unit.Abs(d.Bus.Sub(d.Leads)) > inStep || a.aside() {
		return
	}
	for i := range a.Taps {
		if q := &a.Taps[i].Quiet; q.Open && q.From == d.Bus {
			q.InStep = true
			if g := &a.Taps[i].Gone; g.Open && g.Cause == silent {
				g.Cause = restart
			}
		}
	}
	if d.Was != d.Bus {
		d.Was = d.Bus
		d.Count++
	}
}
