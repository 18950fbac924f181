package draft

import (
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func (w *writer) failsafe() {
	m := w.model
	flag, ok := m.Answers["failsafe:flag"]
	if !ok {
		return
	}
	w.line(0, "", "", "failsafe:")
	word := map[string]string{wordYes: "required", wordNo: "absent"}[flag.Words]
	if word == "" {
		word, flag.From = "optional", Assumed
	}
	w.line(1, flag.From, "", "flag: %s", word)
	w.assume(flag.From, "failsafe.flag")
	w.line(1, Assumed, "", "within: 2s")
	w.assume(Assumed, "failsafe.within")
	w.line(1, "", "", "heard:")
	sticks := m.Answers["failsafe:sticks"]
	w.line(2, Assumed, "all that is not named here", "default: %s", wordHold)
	w.assume(Assumed, "failsafe.heard.default")
	if sticks.Words == "neutral" {
		for _, g := range gimbals {
			if c, found := m.Found[g.key]; found && len(c.Places) == 2 {
				w.line(2, sticks.From, "", "%s: %s", c.Name, micros(c.neutral().Width))
				w.assume(sticks.From, "failsafe.heard.%s", c.Name)
			}
		}
	}
	w.throttleWithoutSignal()
	w.modeWithoutSignal()
	w.gainWithoutSignal()
	if c, found := m.Found[keyTeach]; found {
		w.line(2, Assumed, "what starts something must rest", "%s: rest", c.Name)
		w.assume(Assumed, "failsafe.heard.%s", c.Name)
	}
	w.leadsWithoutSignal()
	w.gap()
}

func (w *writer) throttleWithoutSignal() {
	c, ok := w.model.Found[keyThrottle]
	a := w.model.Answers["failsafe:throttle"]
	if !ok || a.Words == "" {
		return
	}
	idle, full := c.place("idle").Width, c.place("full").Width
	w.assume(a.From, "failsafe.heard.%s", c.Name)
	at := idle
	if cut := c.place("cut"); cut != nil && a.Words == "cut" {
		at = cut.Width
	}
	switch {
	case a.Words == wordHold:
		w.line(2, a.From, "nobody can stop the motor by radio", "%s: %s", c.Name, wordHold)
	case full > idle:
		w.line(2, a.From, "", "%s: {at_most: %s}", c.Name, micros(at))
	default:
		w.line(2, a.From, "", "%s: {at_least: %s}", c.Name, micros(at))
	}
}

func (w *writer) modeWithoutSignal() {
	m := w.model
	a := m.Answers["failsafe:mode"]
	i := slices.IndexFunc(m.Modes, func(x Mode) bool { return x.Name == a.Words })
	if i < 0 {
		return
	}
	for _, key := range m.modeKeys() {
		w.line(2, a.From, "", "%s: %s", m.nameOf(key), m.Modes[i].At[key])
		w.assume(a.From, "failsafe.heard.%s", m.nameOf(key))
	}
}

func (w *writer) gainWithoutSignal() {
	c, ok := w.model.Found[keyGain]
	a := w.model.Answers["failsafe:gain"]
	if !ok || len(c.Places) < 2 {
		return
	}
	if a.Words != wordHold && a.Words != "" {
		w.assume(a.From, "failsafe.heard.%s", c.Name)
	}
	switch a.Words {
	case "low":
		w.line(2, a.From, "", "%s: %s", c.Name, c.Places[0].Name)
	case "high":
		w.line(2, a.From, "", "%s: %s", c.Name, c.Places[len(c.Places)-1].Name)
	case "now":
		w.line(2, a.From, "where it stood is measured", "%s: %s", c.Name, micros(w.model.Rest[c.Channel-1]))
	}
}

func (w *writer) leadsWithoutSignal() {
	throttle, throttled := w.model.Found[keyThrottle]
	if len(w.named()) == 0 {
		return
	}
	w.line(1, "", "", "leads:")
	w.line(2, Assumed, "", "default: %s", sheet.Follows)
	w.assume(Assumed, "failsafe.leads.default")
	motor := slices.ContainsFunc(w.outputs, func(o Output) bool { return throttled && o.moves(throttle.Channel) })
	if a := w.model.Answers["failsafe:throttle"]; motor && a.Words == "cut" {
		w.line(2, a.From, "", "motor: %s", sheet.Stops)
	}
}

// mixes writes the mixes that are wanted.
func (w *writer) mixes() {
	const spare unit.Width = 12_000 // ns, the tolerance of positions
	m := w.model
	head := false
	for _, x := range m.Mixes {
		id := mixID(&x)
		if to := m.taken(x.Channel); m.said(id) == wordYes && to != "" {
			if !head {
				w.line(0, "", "", "mixes_wanted:")
				head = true
			}
			w.line(1, Said, "how far is measured", "- {from: %s, to: %s, at_most: %s}", m.nameOf(x.Key), m.nameOf(to), micros(x.Travel+spare))
			continue
		}
		w.remark("While %s moved, channel %d went along by %s (measured): a mix in the transmitter, which is not wanted.",
			m.nameOf(x.Key), x.Channel, unit.FormatWidth(x.Travel))
	}
	if head {
		w.gap()
	}
}

// named are the outputs that something in the sheet moves.
func (w *writer) named() (list []Output) {
	for _, o := range w.outputs {
		if len(o.Terms) > 0 {
			list = append(list, o)
		}
	}
	return list
}

// axes are what a stabiliser corrects with the surfaces of a stick.
var axes = map[string]string{keyAileron: sheet.Roll, keyElevator: sheet.Pitch, keyRudder: sheet.Yaw}

func (w *writer) leads() {
	if list := w.named(); len(list) > 0 {
		w.line(0, "", "", "outputs:")
		for i := range list {
			w.output(&list[i])
		}
		w.gap()
	}
	for _, o := range w.outputs {
		if len(o.Terms) == 0 {
			w.remark("Output %d gave pulses, and nothing that was asked for moved it.", o.Number)
		}
	}
	if len(w.model.Beats) > 0 {
		w.line(0, Measured, "it moves by itself", "heartbeat: {channel: %d}", w.model.Beats[0])
	}
}

func (w *writer) output(o *Output) {
	var by, corrects []string
	for _, t := range o.Terms {
		key := w.model.taken(t.Channel)
		by = append(by, w.model.nameOf(key)+": "+hundredths(t.PPM))
		if axis := axes[key]; axis != "" {
			corrects = append(corrects, axis)
		}
	}
	w.line(1, Measured, "", "%d:", o.Number)
	w.line(2, Assumed, "put in what you call it", "surface: %s", w.surface(o))
	w.line(2, Measured, "", "moved_by: {%s}", strings.Join(by, ", "))
	if len(corrects) > 0 && len(w.model.modeKeys()) > 0 {
		w.line(2, Assumed, "", "corrects: [%s]", strings.Join(corrects, ", "))
		w.assume(Assumed, "outputs.%d.corrects", o.Number)
	}
}
