package claim

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of modes.
const (
	asksForMode       = "at %s the bus asks for %s"
	farEnoughInside   = "at %s the bus is at least %s inside the window of %s, which is %s"
	noChangePasses    = "no change from one wanted mode to another passes through %s on its way"
	asksForOtherMode  = "at %s the bus asks for %s, not for %s (%s): %s"
	channelNeverMoved = "the bus asks for %s, but %s was not seen to move: whatever rests there shows nothing; work its switch"
	asksInsideWindow  = "at %s the bus asks for %s, %s inside its window, which is %s"
	insideWindow      = "at %s the bus is %s inside the window of %s, which is %s"
	nearWindowEdge    = "at %s the bus is only %s inside the window of %s, which is %s; the sheet wants %s: move that " +
		"position away from the edge in the transmitter%s"
)

// modes judges what the bus asks for at each wanted combination of positions,
// how far from the edges of its window that lies, and what is touched on the way
// from one to another. Channels that never moved show nothing, since no switch may
// be assigned to them: what was seen before they did counts from then on.
type modes struct {
	Asked    []modeMoment          `json:"asked"`   // distinct widths at which the channels stood
	Passing  []modeMoment          `json:"passing"` // modes touched since the last of those
	Last     *modeMoment           `json:"last"`    // the last of those
	Blind    bool                  `json:"blind"`   // since then frames were not heard live: a change was not watched
	Stood    map[string]*standing  `json:"stood"`   // by channel name
	Reported map[string]modeMoment `json:"said"`    // by claim: what the builder said, of channels that had not moved
	Ends     map[string][]string   `json:"ends"`    // by mode: those between which changes that were watched missed it
	Own      []string              `json:"own"`     // modes that a lever passed at a position of its own

	wanted []wanted
	choose []string // the channels that choose the mode, by name
}

// modeMoment is one moment at which the mode channels stood, or passed.
type modeMoment struct {
	Tap    string                `json:"tap"`
	Mode   string                `json:"mode"`
	Widths map[string]unit.Width `json:"widths_ns"` // by channel name
	Span   event.Span            `json:"span"`
}

// wanted is one combination at which a mode is wanted.
type wanted struct {
	mode *sheet.Mode
	at   sheet.Combination
	name string // "front/back"
	text string // "inner front and outer back"
	nth  int    // of those of the mode, from 0
}

// maxAsked bounds what is remembered of a switch that wanders.
const maxAsked = 64

func newModes(b *Book) *perTap {
	m := &modes{choose: modeChannels(b.sheet)}
	for i := range b.sheet.Stabiliser.Modes {
		mode := &b.sheet.Stabiliser.Modes[i]
		for n, at := range mode.WantedAt {
			w := wanted{mode: mode, at: at, nth: n}
			var texts, topics []string
			for _, s := range at {
				c, _ := b.sheet.Channel(s.Channel)
				texts, topics = append(texts, c.Name+" "+s.Position), append(topics, c.Name)
			}
			w.name, w.text = positions(at), text.And(texts)
			m.wanted = append(m.wanted, w)
			asks := b.add(w.key(FamilyMode), fmt.Sprintf(asksForMode, w.text, mode.Name), putting(b.sheet, at), topics...)
			inside := b.add(w.key(FamilyMargin), fmt.Sprintf(farEnoughInside,
				w.text, unit.FormatWidth(b.sheet.Stabiliser.Margin), mode.Name, windowsFrom(b.sheet)),
				putting(b.sheet, at), topics...)
			asks.Rests, inside.Rests = w.rests(b.sheet), w.rests(b.sheet)
		}
	}
	for _, name := range m.passable(b.sheet) {
		b.add(FamilyPassing.of(name), fmt.Sprintf(noChangePasses, text.ModeName(name)),
			Action{Do: DoChangeModes}, m.choose...)
	}
	return newPerTap(func() judge {
		return &modes{Stood: map[string]*standing{}, Reported: map[string]modeMoment{}, Ends: map[string][]string{}, wanted: m.wanted, choose: m.choose}
	})
}

// positions are those of a combination as IDs have them.
func positions(at sheet.Combination) string {
	var names []string
	for _, s := range at {
		names = append(names, s.Position)
	}
	return strings.Join(names, "/")
}

func (w *wanted) key(family Family) key { return family.of(w.mode.Name, w.name) }

func (w *wanted) id(family Family) string { return w.key(family).id() }

// rests are the claims on the positions that the combination is made of.
func (w *wanted) rests(s *sheet.Sheet) (ids []string) {
	for _, set := range w.at {
		c, _ := s.Channel(set.Channel)
		ids = append(ids, FamilyPosition.ID(c.Name, set.Position))
	}
	return ids
}

// windowsFrom says how much the windows are worth.
func windowsFrom(s *sheet.Sheet) string {
	return map[string]string{"manual": "from the manual", "measured": "as you measured it", "guess": "a guess"}[s.Stabiliser.From]
}

// orTheGuess says that a guessed edge may lie elsewhere.
func orTheGuess(s *sheet.Sheet) string {
	if s.Stabiliser.From == "guess" {
		return ", or find out where the window really ends"
	}
	return ""
}

// noModeID is text.NoMode as the IDs of claims have it: those have no spaces.
const noModeID = "no-mode"

// modeChannels names the channels that choose the mode.
func modeChannels(s *sheet.Sheet) (names []string) {
	for _, n := range s.ModeChannels() {
		c, _ := s.Channel(n)
		names = append(names, c.Name)
	}
	return names
}

func (m *modes) see(e *event.Event, b *Book) {
	switch e.Kind {
	case event.FailsafeEntered, event.LossMeasured, event.BusSilent, event.TapDown, event.RecordingGap, event.SessionResumed:
		m.Blind = true
	}
	if newSource(e) {
		m.startAfresh()
	}
	switch d := e.Data.(type) {
	case event.ModeData:
		if believed(d.Signal, d.Suspect) {
			m.mode(modeMoment{d.Tap, d.Mode, d.Widths, event.Span{From: e.From, To: e.At}}, d.Passing, b)
		} else {
			m.Blind = true
		}
	case event.SwitchData:
		m.judgeAll(b) // a width may have got its place by elimination
	case event.DrillAnsweredData:
		m.drill(&d, event.Span{From: e.From, To: e.At}, b)
	}
}

func (m *modes) mode(a modeMoment, passing bool, b *Book) {
	if passing {
		m.Passing = append(m.Passing, a)
		return
	}
	m.passed(&a, b)
	m.Last, m.Passing, m.Blind = &a, nil, false
	m.stood(a.Widths, b)
	for i := range m.Asked {
		if m.Asked[i].Mode == a.Mode && sameWidths(m.Asked[i].Widths, a.Widths, b.sheet.Tolerance.Position) {
			m.Asked[i].Span = a.Span
			m.judge(&m.Asked[i], b)
			return
		}
	}
	if len(m.Asked) < maxAsked {
		m.Asked = append(m.Asked, a)
		m.judge(&a, b)
	}
}

// startAfresh forgets where the channels stood, where none of them had moved.
func (m *modes) startAfresh() {
	for _, at := range m.Stood {
		if at.Moved {
			return
		}
	}
	m.Asked, m.Passing, m.Last, m.Stood = nil, nil, nil, map[string]*standing{}
}

// stood notes where the channels stand. Once one has moved, what was seen before
// counts.
func (m *modes) stood(widths map[string]unit.Width, b *Book) {
	moved := false
	for name, w := range widths {
		if m.Stood[name] == nil {
			m.Stood[name] = &standing{}
		}
		moved = m.Stood[name].stood(w) || moved
	}
	if !moved {
		return
	}
	m.judgeAll(b)
	for i := range m.wanted {
		if a, ok := m.Reported[m.wanted[i].id("mode")]; ok {
			m.wanted[i].judge(&a, m.unmoved(&m.wanted[i], b), b)
		}
	}
}

// unmoved names the channels of a combination that have not moved, in its order. A
// fixed one need not.
func (m *modes) unmoved(w *wanted, b *Book) (names []string) {
	for _, s := range w.at {
		c, _ := b.sheet.Channel(s.Channel)
		if at := m.Stood[c.Name]; c.Kind != sheet.Fixed && (at == nil || !at.Moved) {
			names = append(names, c.Name)
		}
	}
	return names
}

func sameWidths(a, b map[string]unit.Width, tolerance unit.Width) bool {
	for name, w := range a {
		if unit.Abs(w-b[name]) > tolerance {
			return false
		}
	}
	return len(a) == len(b)
}

func (m *modes) judgeAll(b *Book) {
	for i := range m.Asked {
		m.judge(&m.Asked[i], b)
	}
}

// judge holds one moment against the combinations that it fits.
func (m *modes) judge(a *modeMoment, b *Book) {
	for i := range m.wanted {
		if w := &m.wanted[i]; w.fits(a, b) {
			w.judge(a, m.unmoved(w, b), b)
		}
	}
}

func (w *wanted) fits(a *modeMoment, b *Book) bool {
	for _, s := range w.at {
		c, _ := b.sheet.Channel(s.Channel)
		if b.placeOf(a.Tap, c, a.Widths[c.Name]) != s.Position {
			return false
		}
	}
	return true
}

// placeOf names the place that a channel of a tap stands at with a width, "" for none.
func (b *Book) placeOf(tap string, c *sheet.Channel, width unit.Width) string {
	for _, j := range b.judges {
		taps, ok := j.(*perTap)
		if !ok {
			continue
		}
		if p, ok := taps.of[tap].(*places); ok && p.channel == c {
			return p.placeOf(width, b.sheet.Tolerance.Position)
		}
	}
	return ""
}

// judge holds one moment against the combination. Nothing is seen right of channels
// that have not moved.
func (w *wanted) judge(a *modeMoment, unmoved []string, b *Book) {
	figures := map[string]int64{}
	for name, width := range a.Widths {
		figures[name+"_ns"] = int64(width)
	}
	if a.Mode != w.mode.Name {
		b.wrong(w.id(FamilyMode), fmt.Sprintf(asksForOtherMode,
			w.text, text.ModeName(a.Mode), text.ModeName(w.mode.Name), widths(a.Widths), w.remedy(a, unmoved, b)),
			a.Span, figures)
		return
	}
	margin := w.margin(a, b.sheet)
	figures["margin_ns"] = int64(margin)
	right := b.right
	if len(unmoved) > 0 {
		right = func(id, _ string, _ event.Span, _ map[string]int64) {
			b.unclear(id, fmt.Sprintf(channelNeverMoved, w.mode.Name, text.And(unmoved)))
		}
	}
	name, inside, from := w.mode.Name, unit.FormatWidth(margin), windowsFrom(b.sheet)
	right(w.id(FamilyMode), fmt.Sprintf(asksInsideWindow, w.text, name, inside, from), a.Span, figures)
	if margin >= b.sheet.Stabiliser.Margin {
		right(w.id(FamilyMargin), fmt.Sprintf(insideWindow, w.text, inside, name, from), a.Span, figures)
		return
	}
	b.wrong(w.id(FamilyMargin), fmt.Sprintf(nearWindowEdge,
		w.text, inside, name, from, unit.FormatWidth(b.sheet.Stabiliser.Margin), orTheGuess(b.sheet)), a.Span, figures)
}

// margin is the way from the nearest edge of the cell that holds, ns; 0: none does.
func (w *wanted) margin(a *modeMoment, s *sheet.Sheet) unit.Width {
	width := func(channel int) unit.Width {
		c, _ := s.Channel(channel)
		return a.Widths[c.Name]
	}
	for _, cell := range w.mode.When {
		if cell.Holds(width) {
			return cell.Margin(width)
		}
	}
	return 0
}

// drill judges an answer of the mode drill: there the builder says which
// positions the switches stand at.
func (m *modes) drill(d *event.DrillAnsweredData, span event.Span, b *Book) {
	plan, ask := b.drills.Asked(d.Prompt)
	if plan.Tilts || ask.Act != drill.ActPut || !heard(d) || !b.handsReach.Moved {
		return
	}
	for i := range m.wanted {
		w := &m.wanted[i]
		if ask.Mode != w.mode.Name || ask.At != w.nth {
			continue
		}
		a := &modeMoment{Tap: d.Tap, Widths: map[string]unit.Width{}, Span: span}
		byNumber := map[int]unit.Width{}
		for _, move := range d.Channels {
			byNumber[move.Channel] = move.ToNS
		}
		for _, n := range b.sheet.ModeChannels() {
			c, _ := b.sheet.Channel(n)
			a.Widths[c.Name] = byNumber[n]
		}
		a.Mode, _ = b.sheet.ModeAt(func(channel int) unit.Width { return byNumber[channel] })
		m.Reported[w.id(FamilyMode)] = *a
		m.stood(a.Widths, b)
		w.judge(a, m.unmoved(w, b), b)
	}
}

func (m *modes) forget(what string, _ unit.Time) {
	m.Asked = slices.DeleteFunc(m.Asked, func(a modeMoment) bool {
		_, rests := a.Widths[what]
		return rests || what == TopicAll
	})
	delete(m.Stood, what)
	maps.DeleteFunc(m.Reported, func(_ string, a modeMoment) bool {
		_, rests := a.Widths[what]
		return rests || what == TopicAll
	})
	if what == TopicAll || slices.Contains(m.choose, what) {
		m.Last, m.Passing, m.Own = nil, nil, nil
		clear(m.Ends)
	}
	if what == TopicAll {
		clear(m.Stood)
	}
}

// widths lists widths by channel name, in order.
func widths(w map[string]unit.Width) string {
	names := make([]string, 0, len(w))
	for n := range w {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		names[i] = n + " " + unit.FormatWidth(w[n])
	}
	return strings.Join(names, ", ")
}
