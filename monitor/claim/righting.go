package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// righting judges the switch that overrides the mode and brings the model upright: that it rests, that no
// other switch takes it along, that it rests without a signal, and what it does in each mode that it
// overrides. That last one stands beside the mode that holds an attitude, in one drill, with the model
// propped up tilted: both must move each output the same way, and the switch must let go again.
//
//	outputs   rest      held      rest      on        off
//	          ____      ----      ____      ----      ____
//	mode      M         upright   M         M         M
type righting struct {
	Mode  string                           `json:"mode"`  // in which the drill is, "" for none
	Stood map[drill.Act]map[int]unit.Width `json:"stood"` // where outputs stood at each of its steps, by number
	Doubt string                           `json:"doubt"` // why nothing follows from them
	Left  bool                             `json:"left"`  // the switch was to be let go of, and stood on when that was answered
	Came  bool                             `json:"came"`  // it was seen on
	Last  map[string]event.Span            `json:"last"`  // by switch: when it moved last; of the righting one: was put on
	Along map[string]int                   `json:"along"` // by switch: how often the righting one was put on in the same moment
	Alone []string                         `json:"alone"` // switches that moved without it

	at    *sheet.Righting
	rest  sheet.Setting
	name  string
	axis  string
	holds *sheet.Mode
	modes []string // that are shown in the drill
	lever []string // the other switches that choose the mode
}

func newRighting(b *Book) *righting {
	s := b.sheet
	r := &righting{at: s.Righting(), axis: s.Tilted(), holds: s.HoldsAttitude()}
	r.rest = s.Rest(r.at.Setting)
	c, _ := s.Channel(r.at.Channel)
	r.name = c.Name
	of := func(part string, more ...string) key {
		return key{family: FamilyRighting, parts: append([]string{part}, more...), channel: c.Number}
	}
	settle := on(DoPut, c, r.at.Position)
	if c.Kind == sheet.Momentary {
		settle = on(DoPress, c, "")
	}
	b.add(of("rests"), fmt.Sprintf(rightingRests, c.Name, r.rest.Position, r.at.Position), settle, c.Name)
	for _, n := range s.ModeChannels() {
		if l, _ := s.Channel(n); n != c.Number && (l.Kind == sheet.Switch || l.Kind == sheet.Momentary) {
			r.lever = append(r.lever, l.Name)
		}
	}
	if len(r.lever) > 0 {
		b.add(of("alone"), fmt.Sprintf(rightingAlone, c.Name, text.And(r.lever)), Action{Do: DoChangeModes}, append([]string{c.Name}, r.lever...)...)
	}
	if s.Failsafe != nil && !s.Digital(c.Number) {
		b.add(of("failsafe"), fmt.Sprintf(rightingInLoss, c.Name, r.at.Position), losing(DoLoseSignal), TopicFailsafe, c.Name)
	}
	if len(b.drills.Plan(drill.Righting).Prompts) > 0 {
		for _, m := range s.Overridden() {
			r.modes = append(r.modes, m.Name)
			b.add(of("over", m.Name), fmt.Sprintf(rightingOver, c.Name, text.ModeName(m.Name), text.ModeName(r.holds.Name)),
				Action{Do: DoDrill, Drill: drill.Righting}, c.Name, TopicOutputs)
		}
	}
	r.restart("")
	r.forgetSwitches()
	return r
}

// restart is for a mode that the drill comes to.
func (r *righting) restart(mode string) {
	r.Mode, r.Doubt, r.Left, r.Stood = mode, "", false, map[drill.Act]map[int]unit.Width{}
}

func (r *righting) forgetSwitches() {
	r.Came, r.Last, r.Along, r.Alone = false, map[string]event.Span{}, map[string]int{}, nil
}

func (r *righting) forget(what string, _ unit.Time) {
	r.restart("")
	if what == TopicAll || what == r.name || slices.Contains(r.lever, what) {
		r.forgetSwitches()
	}
}

func (r *righting) see(e *event.Event, b *Book) {
	r.passed(e.At, b)
	switch d := e.Data.(type) {
	case event.SwitchData:
		if believed(d.Signal, d.Suspect) {
			r.switched(e, &d, b)
		}
	case event.LossData:
		r.lost(&d, event.Span{From: e.From, To: e.At}, b)
	case event.DrillBeganData:
		r.restart("")
	case event.DrillAnsweredData:
		if plan, ask := b.drills.Asked(d.Prompt); plan.Name == drill.Righting {
			r.answered(&ask, &d, event.Span{From: e.From, To: e.At}, b)
		}
	}
}

// answered takes a step of the drill.
func (r *righting) answered(ask *drill.Ask, d *event.DrillAnsweredData, span event.Span, b *Book) {
	act := ask.Act
	switch {
	case act == drill.ActProp:
		r.restart(r.Mode)
		return
	case act == drill.ActPut && ask.Mode == r.holds.Name:
		act = drill.ActHold // the mode beside which it stands
	case act == drill.ActPut:
		r.Mode = ask.Mode
	case act == drill.ActLevel:
		r.stayedOn(d, span, b)
		return
	}
	if act == drill.ActPass {
		return
	}
	if why := r.mistrust(ask, d, b); why != "" && r.Doubt == "" {
		r.Doubt = why
	}
	stood := map[int]unit.Width{}
	for _, m := range heardAlong(d, b.sheet.Corrected(r.axis)) {
		stood[m.Output] = m.EndMeanNS
	}
	r.Stood[act] = stood
	if act == drill.ActYield {
		r.Left = d.By == "builder" && r.isOn(move(d, r.at.Channel).ToNS, b)
		r.judge(span, b)
	}
}

// mistrust says why what outputs did at a step says nothing, "" where it may.
func (r *righting) mistrust(ask *drill.Ask, d *event.DrillAnsweredData, b *Book) string {
	switch {
	case d.Frames == 0 || d.Signal != event.SignalLive:
		return transmitterNotHeard
	case d.Suspect:
		return channelsHadLeapt
	case d.By != "wire":
		return fmt.Sprintf(rightingTooEarly, r.name)
	case d.Mode != ask.Mode:
		return fmt.Sprintf("the bus asked for %s instead of %s", text.ModeName(d.Mode), text.ModeName(ask.Mode))
	case len(heardAlong(d, b.sheet.Corrected(r.axis))) == 0:
		return noPulsesAllAlong
	}
	return stickMoved(d, b.sheet.Corrected(r.axis), b)
}

// judge compares what the switch did with what the mode that holds an attitude did.
func (r *righting) judge(span event.Span, b *Book) {
	id := FamilyRighting.ID("over", r.Mode)
	if why := r.lacks(b); why != "" {
		b.unclear(id, why)
		return
	}
	in, holds := text.ModeName(r.Mode), text.ModeName(r.holds.Name)
	var most, did, back unit.Width
	against := ""
	for _, o := range b.sheet.Corrected(r.axis) {
		rest := r.Stood[drill.ActPut][o.Number]
		held, on, off := r.Stood[drill.ActHold][o.Number]-rest, r.Stood[drill.ActOverride][o.Number]-rest, r.Stood[drill.ActYield][o.Number]-rest
		most, did, back = max(most, unit.Abs(held)), max(did, unit.Abs(on)), max(back, unit.Abs(off))
		if min(unit.Abs(held), unit.Abs(on)) >= sensedLeast && (held > 0) != (on > 0) {
			against = fmt.Sprintf("%s by %s, and %s by %s", output(o), signed(on), holds, signed(held))
		}
	}
	figures := map[string]int64{"held_ns": int64(most), "on_ns": int64(did), "off_ns": int64(back)}
	switch {
	case most < sureAnswer:
		b.unclear(id, fmt.Sprintf(rightingNotTilted, holds, unit.FormatWidth(most)))
	case against != "":
		b.wrong(id, fmt.Sprintf(rightingAgainst, in, r.name, against), span, figures)
	case did < faintAnswer:
		b.wrong(id, fmt.Sprintf(rightingDead, in, r.name, unit.FormatWidth(did), holds, unit.FormatWidth(most)), span, figures)
	case did < sensedLeast || 4*did < most:
		b.unclear(id, fmt.Sprintf(rightingLittle, in, r.name, unit.FormatWidth(did), holds, unit.FormatWidth(most)))
	case back >= sensedLeast && 2*back >= did:
		b.unclear(id, fmt.Sprintf(rightingStays, in, unit.FormatWidth(back), r.name))
	default:
		b.right(id, fmt.Sprintf(rightingRights, in, r.name, unit.FormatWidth(did), holds, unit.FormatWidth(most)), span, figures)
	}
}

// lacks says what is missing before anything follows, "" where nothing is. What it leans on was seen right
// before (common practice).
func (r *righting) lacks(b *Book) string {
	for _, o := range b.sheet.Corrected(r.axis) {
		if c, ok := b.byID[correctionID(r.axis, o)]; ok && c.Verdict != VerdictRight {
			return fmt.Sprintf(rightingComesAfter, text.ModeName(r.holds.Name), drill.Correction, drill.Righting)
		}
	}
	if c, ok := b.byID[FamilyResponse.ID(r.holds.Name)]; ok && c.Verdict != VerdictRight {
		return fmt.Sprintf(rightingComesAfter, text.ModeName(r.holds.Name), drill.Response, drill.Righting)
	}
	if r.Doubt != "" {
		return fmt.Sprintf("in %s: %s", text.ModeName(r.Mode), r.Doubt)
	}
	for _, act := range []drill.Act{drill.ActPut, drill.ActHold, drill.ActOverride, drill.ActYield} {
		for _, o := range b.sheet.Corrected(r.axis) {
			if r.Stood[act][o.Number] == 0 {
				return fmt.Sprintf(rightingNotHeard, output(o))
			}
		}
	}
	return ""
}

// isOn reports that a width of the switch's channel rights the model.
func (r *righting) isOn(width unit.Width, b *Book) bool {
	return unit.Abs(width-r.at.Width) <= b.sheet.Tolerance.Position
}

// stayedOn is the end of a round: a switch that was to be let go of and stands on, seconds later, does
// not come back.
func (r *righting) stayedOn(d *event.DrillAnsweredData, span event.Span, b *Book) {
	m := move(d, r.at.Channel)
	if r.Left && heard(d) && r.isOn(m.LeastNS, b) && r.isOn(m.MostNS, b) {
		b.wrong(FamilyRighting.ID("rests"), fmt.Sprintf(rightingLatches, r.name, r.at.Position), span, map[string]int64{"width_ns": int64(m.ToNS)})
	}
	r.restart(r.Mode)
}

// lost judges where a loss of the signal left the switch.
func (r *righting) lost(d *event.LossData, span event.Span, b *Book) {
	if !d.Shown() || d.Class == event.LossUnclear && d.Flag == event.FlagClassNever || lossTooShort(b.sheet, d) || r.at.Channel > len(d.Channels) {
		return
	}
	if l := &d.Channels[r.at.Channel-1]; l.Class != event.LossSilent && l.Class != event.LossMoving {
		r.left(l, d, span, b)
	}
}

// left judges at which width a loss left the switch.
func (r *righting) left(l *event.LossChannel, d *event.LossData, span event.Span, b *Book) {
	id := FamilyRighting.ID("failsafe")
	c, _ := b.sheet.Channel(r.at.Channel)
	if why, early := watchedTooShort(c.Name, l, d); early {
		b.unclear(id, why)
		return
	}
	figures := map[string]int64{"was_ns": int64(l.WasNS), "now_ns": int64(l.NowNS)}
	near := func(w unit.Width) bool { return unit.Abs(w-r.at.Width) <= b.sheet.Tolerance.Preset }
	switch {
	case near(l.NowNS) && near(l.WasNS):
		b.wrong(id, fmt.Sprintf(rightingLostOn, r.name, r.at.Position, r.rest.Position), span, figures)
	case near(l.NowNS):
		b.wrong(id, fmt.Sprintf(rightingGoesOn, r.name, r.at.Position, r.rest.Position), span, figures)
	case near(l.WasNS):
		b.right(id, fmt.Sprintf(rightingLetGo, r.name, r.at.Position, unit.FormatWidth(l.NowNS)), span, figures)
	default:
		b.right(id, fmt.Sprintf(rightingStayedOff, r.name, unit.FormatWidth(l.NowNS), r.at.Position), span, figures)
	}
}
