package sheet

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/unit"
)

// What the builder reads of the supply of a long run.
const supplyTooWeak = "the receiver's supply gives %d mA at most, and the servos draw up to %d mA at once: such a run counts brown-outs " +
	"that its own supply makes; raise the limit, or leave servos unplugged"

// Soak declares under what a long run is done, and what is wanted of it. Words are printed
// as they are.
type Soak struct {
	Distance          string
	Mode              string // one in which outputs rest, ModeOff for a stabiliser that is off; "": not said
	Outputs           string // loaded, unloaded or unplugged; "": not said
	ReceiverSupply    string
	TransmitterSupply string
	TransmitterIdle   string // when the transmitter sounds an alarm or switches off, none, or "": not said
	SupplyLimit       int    // of the receiver's supply, mA; 0: not said
	ServosPeak        int    // what all servos draw at once, mA; 0: not said

	OneIn        unit.Duration // wanted: on average at most one occasion of outages in this; 0: no limit
	MissedAtMost int64         // wanted: parts per million of frames; -1: no limit
}

// NamesSupply reports that the sheet says what feeds the receiver.
func (s *Sheet) NamesSupply() bool { return s.Soak != nil && s.Soak.ReceiverSupply != "" }

// ModeOff is the mode of a soak whose stabiliser is off.
const ModeOff = "off"

func (r *reader) soak(n *node) {
	if n == nil {
		return
	}
	s := &Soak{MissedAtMost: -1}
	r.sheet.Soak = s
	rec := r.record(n, "the soak")
	s.Distance, _ = r.text(rec.get("distance"))
	s.Mode = r.soakMode(rec.get("mode"))
	s.Outputs, _ = r.choice(rec.get("outputs"))
	s.ReceiverSupply, _ = r.text(rec.get("receiver_supply"))
	s.TransmitterSupply, _ = r.text(rec.get("transmitter_supply"))
	s.TransmitterIdle, _ = r.text(rec.get("transmitter_idle"))
	s.SupplyLimit, _ = r.whole(rec.get("supply_limit_ma"))
	s.ServosPeak, _ = r.whole(rec.get("servos_peak_ma"))
	hours, _ := r.between(rec.get("at_most_one_in"), wholeHours, 1, 10_000, "a time from 1h to 10000h")
	s.OneIn = unit.Duration(hours) * 60 * unit.Minute
	if share, ok := r.missedShare(rec.get("missed_at_most"), "missed_at_most left out"); ok {
		s.MissedAtMost = share
	}
}

func (r *reader) soakMode(n *node) string {
	mode, ok := r.text(n)
	if !ok || mode == ModeOff {
		return mode
	}
	if s := r.sheet.Stabiliser; s != nil && slices.ContainsFunc(s.Modes, func(m Mode) bool { return m.Name == mode }) {
		return mode
	}
	r.refuse(n, fmt.Sprintf("%s, which is no mode of the sheet", quote(mode)), "off, or the name of one in which outputs rest")
	return ""
}

// supplyDoubt finds a supply that is weaker than the servos' peak.
func (s *Sheet) supplyDoubt() (list []remark) {
	if k := s.Soak; k != nil && k.SupplyLimit > 0 && k.SupplyLimit < k.ServosPeak {
		list = append(list, remarked(fmt.Sprintf(supplyTooWeak, k.SupplyLimit, k.ServosPeak), "soak", "supply_limit_ma"))
	}
	return list
}
