package draft

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Sheet writes what is known as a set-up sheet. The error says what it lacks to be one: a sheet that can't be read
// is never given.
func (c *Conversation) Sheet() ([]byte, error) {
	w := &writer{model: &c.Model, outputs: c.outputs()}
	w.head(&c.Heard)
	w.channels(&c.Heard)
	w.gain()
	w.stabiliser()
	w.gestures()
	w.failsafe()
	w.mixes()
	w.leads()
	w.assumptions()
	w.openAtAll()
	return w.checked(c)
}

func (w *writer) checked(c *Conversation) ([]byte, error) {
	if len(c.Model.Found) == 0 {
		return nil, fmt.Errorf("no channel was found yet: there is nothing to write")
	}
	text := []byte(w.text.String())
	if _, _, err := sheet.ReadNew("the draft", text); err != nil {
		return nil, fmt.Errorf("what was found makes no sheet yet:\n%w", err)
	}
	return text, nil
}

// writer writes a sheet line by line, each with where it comes from.
type writer struct {
	model   *Model
	outputs []Output
	assumed []string // paths of keys
	text    strings.Builder
}

// assume notes a key whose value is assumed.
func (w *writer) assume(from Source, path string, args ...any) {
	if from == Assumed {
		w.assumed = append(w.assumed, fmt.Sprintf(path, args...))
	}
}

// assumptions names the keys whose values are assumed, for the bench to say so with what rests on them.
func (w *writer) assumptions() {
	if len(w.assumed) == 0 {
		return
	}
	w.gap()
	w.remark("What rests on these is seen right as assumed, no more. Take a path out once you know.")
	w.line(0, "", "", "assumed:")
	for _, path := range w.assumed {
		w.line(1, Assumed, "", "- %s", path)
	}
}

// line writes a line of a level; source and note stand behind it.
func (w *writer) line(level int, from Source, note, format string, args ...any) {
	text := strings.Repeat("  ", level) + fmt.Sprintf(format, args...)
	if from == "" {
		w.text.WriteString(text + "\n")
		return
	}
	if note != "" {
		note = ": " + note
	}
	fmt.Fprintf(&w.text, "%-60s # %s%s\n", text, from, note)
}

// gap sets sections apart.
func (w *writer) gap() { w.text.WriteString("\n") }

func (w *writer) remark(format string, args ...any) {
	for line := range strings.Lines(fmt.Sprintf(format, args...)) {
		w.text.WriteString("# " + strings.TrimSuffix(line, "\n") + "\n")
	}
}

func (w *writer) head(h *Hearing) {
	m := w.model
	if m.Free {
		w.remark("Drafted of a recorded session, in which nothing was asked for. The names are numbers, and what a\n" +
			"channel is for is yours to put in: a throttle, which looks like a knob here, and its motor first.\n" +
			"Stabiliser, gain and failsafe the wire can't tell. Each is asked for below, behind \"open:\".")
	}
	w.remark("A first set-up sheet. Each line says where it comes from: measured on the\n" +
		"wire, said by you, or assumed. What is assumed is yours to check: a claim that rests on it is no\n" +
		"surer than the assumption. What a key means: benchproof sheet explain KEY")
	w.text.WriteString("\nsheet: 1\n")
	name := m.Answers["model"]
	if name.Words == "" {
		name = Answer{Words: "My model", From: Assumed}
	}
	w.line(0, name.From, "", "model: %s", strconv.Quote(name.Words))
	if a := m.Answers["sticks"]; a.Words != "" && a.Words != wordUnknown {
		w.line(0, a.From, "", "sticks: %s", a.Words)
	}
	carries := m.Answers["carries"]
	if carries.Words == "" {
		carries = Answer{Words: wordUnknown, From: Assumed}
	}
	w.line(0, "", "", "taps:")
	w.line(1, carries.From, "", "main: {kind: bus, carries: %s}", carries.Words)
	w.assume(carries.From, "taps.main.carries")
	if len(w.outputs) > 0 {
		w.line(1, Measured, fmt.Sprintf("%d outputs", len(w.outputs)), "leads: {kind: pulses}")
	}
	w.gap()
	w.remark("The scale is the usual one (common practice), so all widths here are as sure as that: assumed.")
	w.remark("A frame every %s (measured). %s", unit.FormatDuration(h.Period()), h.flags())
	w.gap()
}

// flags says which flags the frames had.
func (h *Hearing) flags() string {
	switch {
	case h.Failsafe > 0:
		return "Frames flagged a failsafe (measured)."
	case h.Flagged > 0:
		return "Frames were flagged as missed, none as failsafe (measured)."
	}
	return "No frame had a flag (measured): nothing was lost, or nothing is flagged."
}

func (w *writer) channels(h *Hearing) {
	w.line(0, "", "", "channels:")
	list := []Control{}
	for _, c := range w.model.Found {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b Control) int { return a.Channel - b.Channel })
	for i := range list {
		w.channel(&list[i])
	}
	w.gap()
	w.unnamed(h)
}

// unnamed remarks on channels that stand away from the middle and are not in the sheet.
func (w *writer) unnamed(h *Hearing) {
	const middle, aside unit.Width = 1_500_000, 20_000
	for i, at := range w.model.Rest {
		if n := i + 1; n <= h.protocol.Channels && w.model.taken(n) == "" && !slices.Contains(w.model.Beats, n) && unit.Abs(at-middle) > aside {
			w.remark("Channel %d stood at %s, and nothing that was asked for moved it.", n, unit.FormatWidth(at))
		}
	}
}

func (w *writer) channel(c *Control) {
	w.line(1, Measured, "", "%d:", c.Channel)
	from, note := Said, "and as it moved"
	if w.model.Free {
		from, note = Assumed, ""
	}
	w.line(2, from, "", "name: %s", c.Name)
	if c.Key == keyTeach {
		w.teach(c)
		return
	}
	if from == Assumed {
		from = Measured
	}
	w.line(2, from, note, "kind: %s", c.Kind)
	switch c.Kind {
	case sheet.Stick:
		w.line(2, Measured, doubt(c.Places), "ends: {%s}", named(c.Places))
		if rest := c.neutral(); len(c.Rests) > 0 && len(c.Places) == 2 {
			w.line(2, Measured, doubt([]Place{rest}), "neutral: %s", micros(rest.Width))
		}
	case sheet.Knob:
		w.line(2, Measured, doubt(c.Places), "ends: {%s}", named(c.Places))
	case sheet.Switch:
		w.line(2, Measured, doubt(c.Places), "positions: {%s}", named(c.Places))
	case sheet.Throttle:
		w.throttle(c)
	default:
		for i := range c.Places {
			w.line(2, Measured, "", "%s: %s", c.Places[i].Name, micros(c.Places[i].Width))
		}
	}
	w.open(c)
}

// throttle writes cut, idle and full. Without a cut, the stick fully down is the cut.
func (w *writer) throttle(c *Control) {
	motor := w.model.Answers["motor"]
	if motor.Words == wordYes {
		w.line(2, motor.From, "", "drives: motor")
	} else {
		w.line(2, Assumed, "", "drives: motor")
		w.assume(Assumed, "channels.%d.drives", c.Channel)
	}
	idle, cut := c.place("idle"), c.place("cut")
	if cut == nil {
		w.line(2, Measured, "the stick fully down: there is no throttle cut", "cut: %s", micros(idle.Width))
	} else {
		w.line(2, Measured, "", "cut: %s", micros(cut.Width))
		if betweenCutAndFull(cut.Width, idle.Width, c.place("full").Width) {
			w.line(2, Measured, "", "idle: %s", micros(idle.Width))
		}
	}
	w.line(2, Measured, doubt([]Place{*c.place("full")}), "full: %s", micros(c.place("full").Width))
}

func betweenCutAndFull(cut, idle, full unit.Width) bool {
	return unit.Abs(idle-cut) > flicker && (idle > cut) == (full > cut)
}

// teach writes what starts limit learning. It was never moved: where it acts was said, or is assumed.
func (w *writer) teach(c *Control) {
	rest, pressed, from := w.model.learning(c)
	w.line(2, w.model.sourceOf("teach:kind"), "", "kind: %s", c.Kind)
	if c.Kind == sheet.Switch {
		w.assume(from, "channels.%d.positions", c.Channel)
		w.line(2, from, "rest is measured; it was never moved", "positions: {rest: %s, pressed: %s}", micros(rest), micros(pressed))
		return
	}
	w.line(2, Measured, "", "rest: %s", micros(rest))
	w.line(2, from, "it was never moved", "pressed: %s", micros(pressed))
	w.assume(from, "channels.%d.pressed", c.Channel)
}

// learning is where the channel of limit learning rests and acts.
func (m *Model) learning(c *Control) (rest, pressed unit.Width, from Source) {
	const middle, least, far unit.Width = 1_500_000, 200_000, 2_000_000
	if c.Channel <= len(m.Rest) {
		rest = m.Rest[c.Channel-1]
	}
	if words := m.said("teach:pressed"); words != "" && words != wordUnknown {
		n, _ := strconv.Atoi(words)
		return rest, unit.Width(n) * 1000, Said
	}
	pressed = 2*middle - rest
	if unit.Abs(pressed-rest) < least {
		pressed = far
	}
	return rest, pressed, Assumed
}

// sourceOf is where an answer comes from; one that was skipped is assumed.
func (m *Model) sourceOf(id string) Source {
	if a, ok := m.Answers[id]; ok {
		return a.From
	}
	return Assumed
}

func named(places []Place) string {
	var list []string
	for i := range places {
		list = append(list, places[i].Name+": "+micros(places[i].Width))
	}
	return strings.Join(list, ", ")
}

// doubt says how often places were seen and how far apart.
func doubt(places []Place) string {
	times, spread := places[0].Times, unit.Width(0)
	for _, p := range places {
		times, spread = min(times, p.Times), max(spread, p.Spread)
	}
	if times < 2 {
		return ""
	}
	return fmt.Sprintf("%d times, within %s", times, unit.FormatWidth(spread))
}

// micros is a width as the sheet has it, in whole microseconds: half a count of the usual scale at most is lost.
func micros(w unit.Width) string { return strconv.FormatInt(int64(w+500)/1000, 10) }
