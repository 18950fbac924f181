package sheet

import (
	"slices"
	"strconv"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
)

// Failsafe says what the receiver does when the signal is gone.
type Failsafe struct {
	Flag   string        // whether it sets the failsafe flag: "required", "optional" or "absent"
	Within unit.Duration // ns from the last live frame to the flag, and to the values settling
	Other  string        // what another model memory does: MemoryRefused, MemoryHeard, "" where the sheet does not say
	Heard  Presets       // of channels, on the bus
	Leads  Presets       // of outputs, on the servo leads
}

// What the receiver does while another model memory is selected in the transmitter.
const (
	MemoryRefused = "refused" // it hears this model's memory alone: nothing moves
	MemoryHeard   = "heard"   // it hears any
)

// RefusesMemories reports that another model memory is to move nothing.
func (s *Sheet) RefusesMemories() bool { return s.Failsafe != nil && s.Failsafe.Other == MemoryRefused }

// Presets are what failsafe does to channels or outputs.
type Presets struct {
	Default Preset      // of those not named; Rule "": the sheet says nothing about them
	Named   []PresetFor // in the order of the sheet
}

// PresetFor is the preset of one channel or output.
type PresetFor struct {
	Number int // of the channel or output
	Preset
}

// Of is the preset of a channel or output, named or by default; false where
// the sheet says nothing about it.
func (p *Presets) Of(number int) (Preset, bool) {
	for _, named := range p.Named {
		if named.Number == number {
			return named.Preset, true
		}
	}
	return p.Default, p.Default.Rule != ""
}

// Preset is what the sheet wants of a channel on the bus without a signal; false
// where it says nothing.
func (s *Sheet) Preset(channel int) (Preset, bool) {
	if s.Failsafe == nil {
		return Preset{}, false
	}
	return s.Failsafe.Heard.Of(channel)
}

// PresetMode is the mode that the presets of the channels ask for, "" for none; false where one of them holds, is
// free, or is not in the sheet.
func (s *Sheet) PresetMode() (mode string, known bool) {
	if s.Failsafe == nil || s.Stabiliser == nil {
		return "", false
	}
	widths, known := s.presetWidths()
	if !known || len(widths) == 0 {
		return "", false
	}
	mode, _ = s.ModeAt(func(channel int) unit.Width { return widths[channel] })
	return mode, true
}

// PresetPath is the path of the key that says what a channel does on the bus without a signal.
func (s *Sheet) PresetPath(channel int) string {
	if s.Failsafe != nil && slices.ContainsFunc(s.Failsafe.Heard.Named, func(p PresetFor) bool { return p.Number == channel }) {
		if c, ok := s.Channel(channel); ok {
			return "failsafe.heard." + c.Name
		}
	}
	return "failsafe.heard.default"
}

// LeadPresetPaths are the paths that the key may have which says what an output does without a
// signal: the sheet has one of them, or none.
func (s *Sheet) LeadPresetPaths(o *Output) []string {
	const leads = "failsafe.leads."
	paths := []string{leads + strconv.Itoa(o.Number), leads + o.Surface}
	if s.drivesMotor(o) {
		paths = append(paths, leads+"motor")
	}
	return append(paths, leads+"default")
}

func (r *reader) failsafe(n *node) {
	if n == nil {
		return
	}
	f := &Failsafe{}
	r.sheet.Failsafe = f
	rec := r.record(n, "failsafe")
	f.Flag = r.flag(rec.get("flag"))
	f.Within, _ = r.duration(rec.get("within"))
	f.Other, _ = r.choice(rec.get("other_memory"))
	r.heard(&f.Heard, rec.get("heard"))
	r.leads(&f.Leads, rec.get("leads"))
}

// flag reads what is wanted of the failsafe flag; only a protocol that has one can set it.
func (r *reader) flag(n *node) string {
	flag, ok := r.choice(n)
	if ok && flag != "absent" && r.sheet.Protocol.Flags&bus.Failsafe == 0 {
		r.refuse(n, "a failsafe flag that is "+flag+", and a "+r.sheet.Protocol.Title+" has none", "absent")
	}
	return flag
}

func (r *reader) heard(p *Presets, n *node) {
	for _, e := range r.entries(n) {
		if e.key.text == "default" {
			p.Default, _ = r.preset(e.value, nil)
			continue
		}
		c, ok := r.channel(e.key)
		if !ok {
			continue
		}
		if preset, ok := r.preset(e.value, c); ok {
			p.Named = append(p.Named, PresetFor{c.Number, preset})
		}
	}
}
