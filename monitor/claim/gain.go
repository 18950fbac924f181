package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the gain knob.
const (
	turnsBetween  = "%s turns from %s at %s to %s at %s"
	noGainAtEnd   = "no gain (%s) lies at an end of the turn of %s, not in the middle"
	centreGives   = "%s in the centre of its turn is %s, %s"
	turnedBetween = "%s turns from %s to %s"
	passesNoGain  = "%s passes %s, no gain at all, in the middle of its turn: give it a curve in the transmitter that " +
		"sends one side only"
	didNotPassNoGain  = "%s was turned to both ends and did not pass %s, no gain, on its way"
	turnsBeyondSheet  = "%s goes from %s to %s, beyond the sheet's %s to %s: %s"
	otherSideOfNoGain = "that is the other side of no gain: if it never leaves that, reverse channel %d in the " +
		"transmitter, else give the knob a curve that sends one side only; turn it to both ends, that tells which"
	setKnobEnds = "set its ends in the transmitter, by the travel of channel %d or by the knob's curve"
)

// halfShare is how near half gain a hand brings a knob without a mark: this part
// of its range.
const halfShare = 20

// gain judges the gain control: that its turn covers the range of the sheet, that
// no gain at all does not lie in the middle of it, and what its centre is.
//
//	folded law    full ... none ... full
//	              988      1500     2012
//	plain knob    ^-----------------^      no gain in the middle of the turn
//	with a curve           ^--------^      none, half, full
type gain struct {
	Reached map[string]unit.Width `json:"reached"` // ends of the knob, by name
	Stood   map[string]unit.Width `json:"stood"`   // where it stood at the ends that the drill asked for
	Swept   bool                  `json:"swept"`   // it moved,
	Least   unit.Width            `json:"least_ns"`
	Most    unit.Width            `json:"most_ns"` // between these

	channel *sheet.Channel
	law     *sheet.Gain
}

func newGain(b *Book) *gain {
	c, _ := b.sheet.Channel(b.sheet.Gain.Channel)
	g := &gain{Reached: map[string]unit.Width{}, Stood: map[string]unit.Width{}, channel: c, law: b.sheet.Gain}
	if c.Kind != sheet.Knob {
		return g
	}
	turn, one, other := on(DoTurn, c, "").in(drill.Gain), c.Places[0], c.Places[1]
	b.add(g.key("span"), fmt.Sprintf(turnsBetween,
		c.Name, unit.FormatWidth(one.Width), one.Name, unit.FormatWidth(other.Width), other.Name), turn, c.Name)
	if g.folds() {
		b.add(g.key("fold"), fmt.Sprintf(noGainAtEnd, unit.FormatWidth(g.law.Zero), c.Name), turn, c.Name)
	}
	b.add(g.key("half"), fmt.Sprintf(centreGives, c.Name, g.centreIs(b), unit.FormatWidth(g.centre())),
		drilled(drill.Gain), c.Name)
	return g
}

// key names one of the claims on the gain control.
func (g *gain) key(what string) key {
	return key{family: FamilyGain, parts: []string{what}, channel: g.channel.Number}
}

// ends are the lower and the upper end of the turn.
func (g *gain) ends() (low, high sheet.Place) {
	low, high = g.channel.Places[0], g.channel.Places[1]
	if low.Width > high.Width {
		low, high = high, low
	}
	return low, high
}

// folds: either side of the zero is gain, and the sheet wants one side, whichever.
func (g *gain) folds() bool {
	low, high := g.ends()
	return g.law.Law == sheet.Folded && (low.Width >= g.law.Zero || high.Width <= g.law.Zero)
}

func (g *gain) centre() unit.Width {
	return (g.channel.Places[0].Width + g.channel.Places[1].Width) / 2
}

// within is how near its centre a hand brings the knob.
func (g *gain) within() unit.Width {
	low, high := g.ends()
	return (high.Width - low.Width) / halfShare
}

// centreIs says what the law makes of the centre of the turn: half gain only where no
// and full gain lie at its ends.
func (g *gain) centreIs(b *Book) string {
	at := func(p sheet.Place, width unit.Width) bool {
		return unit.Abs(p.Width-width) <= b.sheet.Tolerance.Position
	}
	low, high := g.ends()
	if unit.Abs(g.centre()-g.law.Zero) <= g.within() {
		return "no gain"
	}
	for _, full := range g.law.Full {
		if at(low, g.law.Zero) && at(high, full) || at(high, g.law.Zero) && at(low, full) {
			return "half gain"
		}
	}
	return "the middle of its range"
}

func (g *gain) see(e *event.Event, b *Book) {
	if g.channel.Kind != sheet.Knob {
		return
	}
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.GainSweptData:
		if d.Channel == g.channel.Number && believed(d.Signal, d.Suspect) {
			g.swept(d.LeastNS, d.MostNS, span, b)
		}
	case event.DrillAnsweredData:
		_, ask := b.drills.Asked(d.Prompt)
		if turns := ask.Act == drill.ActTurn || ask.Act == drill.ActCentre; turns && heard(&d) {
			m := move(&d, g.channel.Number)
			g.swept(m.LeastNS, m.MostNS, span, b)
			g.answered(ask, &d, m, span, b)
		}
	}
}

// swept judges the range that a movement covered.
func (g *gain) swept(least, most unit.Width, span event.Span, b *Book) {
	grew := !g.Swept || least < g.Least || most > g.Most
	if !g.Swept {
		g.Swept, g.Least, g.Most = true, least, most
	}
	g.Least, g.Most = min(g.Least, least), max(g.Most, most)
	low, high := g.ends()
	tolerance := b.sheet.Tolerance.Position
	if unit.Abs(least-low.Width) <= tolerance {
		g.Reached[low.Name] = least
	}
	if unit.Abs(most-high.Width) <= tolerance {
		g.Reached[high.Name] = most
	}
	figures := map[string]int64{"least_ns": int64(least), "most_ns": int64(most)}
	name, zero := g.channel.Name, unit.FormatWidth(g.law.Zero)
	if len(g.Reached) == 2 {
		from, to := unit.FormatWidth(g.Reached[low.Name]), unit.FormatWidth(g.Reached[high.Name])
		b.right(FamilyGain.ID("span"), fmt.Sprintf(turnedBetween, name, from, to), span, figures)
	}
	if g.passes(b) {
		b.wrong(FamilyGain.ID("fold"), fmt.Sprintf(passesNoGain, name, zero), span, figures)
	} else if len(g.Reached) == 2 {
		b.right(FamilyGain.ID("fold"), fmt.Sprintf(didNotPassNoGain, name, zero), span, figures)
	}
	if grew {
		g.beyond(span, b)
	}
}

// passes reports whether the knob was on both sides of no gain where the sheet wants one.
func (g *gain) passes(b *Book) bool {
	tolerance := b.sheet.Tolerance.Position
	return g.folds() && g.Least < g.law.Zero-tolerance && g.Most > g.law.Zero+tolerance
}

// beyond judges whether the knob was anywhere that the sheet does not have.
func (g *gain) beyond(span event.Span, b *Book) {
	low, high := g.ends()
	tolerance := b.sheet.Tolerance.Position
	if g.Least >= low.Width-tolerance && g.Most <= high.Width+tolerance {
		return
	}
	from, to := unit.FormatWidth(g.Least), unit.FormatWidth(g.Most)
	b.wrong(FamilyGain.ID("span"), fmt.Sprintf(turnsBeyondSheet,
		g.channel.Name, from, to, unit.FormatWidth(low.Width), unit.FormatWidth(high.Width), g.setting(b)),
		span, map[string]int64{"least_ns": int64(g.Least), "most_ns": int64(g.Most)})
}

// setting says what sets the range of a knob that turns the right way.
func (g *gain) setting(b *Book) string {
	_, high := g.ends()
	tolerance := b.sheet.Tolerance.Position
	otherSide := g.Most <= g.law.Zero+tolerance
	if high.Width <= g.law.Zero {
		otherSide = g.Least >= g.law.Zero-tolerance
	}
	switch {
	case g.passes(b):
		return "give it a curve in the transmitter that sends one side only"
	case g.folds() && otherSide:
		return fmt.Sprintf(otherSideOfNoGain, g.channel.Number)
	}
	return fmt.Sprintf(setKnobEnds, g.channel.Number)
}

func (g *gain) forget(what string, _ unit.Time) {
	if what == g.channel.Name || what == TopicAll {
		clear(g.Reached)
		clear(g.Stood)
		g.Swept = false
	}
}
