package claim

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// This file is what a claim has outside the file of its judge: its family, with the part
// of its ID that is the same for all of them; how much must have been watched before
// "never" is seen; and the line that makes the judge.

// The families. They are a contract: grow them, don't change them.
const (
	FamilyPosition   Family = "position"   // position/CHANNEL/PLACE
	FamilyMomentary  Family = "momentary"  // momentary/CHANNEL
	FamilyOrder      Family = "order"      // order/CHANNEL
	FamilyAlone      Family = "alone"      // alone/CHANNEL
	FamilyTravel     Family = "travel"     // travel/CHANNEL/END, travel/output:N
	FamilyClip       Family = "clip"       // clip/CHANNEL
	FamilyNeutral    Family = "neutral"    // neutral/CHANNEL
	FamilyIdle       Family = "idle"       // idle/CHANNEL
	FamilyCut        Family = "cut"        // cut/CHANNEL
	FamilyGain       Family = "gain"       // gain/span, gain/fold, gain/half, gain/law, gain/none, gain/full
	FamilyMode       Family = "mode"       // mode/MODE/PLACE/...
	FamilyMargin     Family = "margin"     // margin/MODE/PLACE/...
	FamilyPassing    Family = "passing"    // passing/MODE
	FamilyEdge       Family = "edge"       // edge/CHANNEL/MODE/MODE
	FamilyGesture    Family = "gesture"    // gesture/GESTURE
	FamilyMoves      Family = "moves"      // moves/output:N
	FamilyPulses     Family = "pulses"     // pulses/output:N
	FamilySteady     Family = "steady"     // steady/output:N
	FamilyJitter     Family = "jitter"     // jitter/output:N
	FamilyResponse   Family = "response"   // response/MODE
	FamilyCorrection Family = "correction" // correction/AXIS/output:N
	FamilyStick      Family = "stick"      // stick/AXIS
	FamilyFailsafe   Family = "failsafe"   // failsafe/CHANNEL, failsafe/output:N, failsafe/flag, time, mode, back
	FamilyPowerUp    Family = "powerup"    // powerup/CHANNEL
	FamilyMemory     Family = "memory"     // memory/other
	FamilyLink       Family = "link"       // link/missed, link/moving, link/spikes
	FamilySoak       Family = "soak"       // soak/outages, soak/missed
	FamilyAnswers    Family = "answers"    // answers/controls
	FamilyEnds       Family = "ends"       // ends/output:N
	FamilyShift      Family = "shift"      // shift/output:N
	FamilyLearning   Family = "learning"   // learning/done, learning/took
	FamilyLevelling  Family = "levelling"  // levelling/rested, levelling/after-power-up
	FamilyRighting   Family = "righting"   // righting/rests, alone, failsafe, over/MODE
	FamilyDegrees    Family = "degrees"    // degrees/MODE/AXIS/output:N
	FamilyEntered    Family = "entered"    // entered/MODE
	FamilyLevel      Family = "level"      // level/MODE/AXIS
	FamilyLaying     Family = "laying"     // laying/phone
)

// families has a row for each family.
var families = map[Family]traits{
	FamilyPosition:   {HeadingSwitches, quiet, byItsChannel, keys("channels.#.positions.$2", "channels.#.$2"), inWidth(3_000, whySwitch, "width_ns")},
	FamilyMomentary:  {HeadingSwitches, onScreen, byItsChannel, keys("channels.#.pressed"), inWidth(3_000, whySwitch, "rest_ns", "pressed_ns")},
	FamilyOrder:      {HeadingSticks, onScreen, byItsChannel, keys("channels.#.name"), nil},
	FamilyAlone:      {HeadingSticks, onScreen, byItsChannel, keys("channels.#.name"), nil},
	FamilyTravel:     {HeadingSticks, onScreen, byItsChannel, travelKeys, inWidth(8_000, whyStop, "width_ns")},
	FamilyClip:       {HeadingSticks, quiet, byItsChannel, keys("channels.#.ends", "channels.#.full", "channels.#.positions", "channels.#.pressed"), nil},
	FamilyNeutral:    {HeadingSticks, onScreen, byItsChannel, keys("channels.#.neutral"), inWidth(5_000, whyNeutral, "width_ns")},
	FamilyIdle:       {HeadingSticks, onScreen, byItsChannel, keys("channels.#.idle"), inWidth(5_000, whyIdle, "width_ns")},
	FamilyCut:        {HeadingSticks, onScreen, byItsChannel, keys("channels.#.cut"), inWidth(3_000, whyCut, "width_ns")},
	FamilyGain:       {HeadingGain, onScreen, byItsChannel, gainKeys, gainMeasures},
	FamilyMode:       {HeadingModes, onScreen, byModeSwitch, wantedKeys, nil},
	FamilyMargin:     {HeadingModes, quiet, byModeSwitch, marginKeys, inWidth(3_000, "a margin moves as its switch does", "margin_ns")},
	FamilyPassing:    {HeadingModes, quiet, byModeSwitch, passingKeys, nil},
	FamilyEdge:       {HeadingModes, onScreen, byItsChannel, edgeKeys, inWidth(10_000, "a look finds an edge within that", "from_ns", "to_ns")},
	FamilyGesture:    {HeadingGestures, onScreen, byItsChannel, keys("gestures.$1"), nil},
	FamilyMoves:      {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.moved_by"), nil},
	FamilyPulses:     {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.surface"), nil},
	FamilySteady:     {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.surface"), nil},
	FamilyJitter:     {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.surface"), nil},
	FamilyResponse:   {HeadingOutputs, onScreen, byItsChannel, keys("stabiliser.modes.$1.does"), nil},
	FamilyCorrection: {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.corrects"), nil},
	FamilyStick:      {HeadingOutputs, onScreen, byItsChannel, stickKeys, nil},
	FamilyFailsafe:   {HeadingFailsafe, onScreen, byThrottle, failsafeKeys, failsafeMeasures},
	FamilyPowerUp:    {HeadingFailsafe, onScreen, byItsChannel, keys("channels.#.cut"), inWidth(3_000, whyPreset, "most_ns")},
	FamilyMemory:     {HeadingFailsafe, onScreen, byThrottle, keys("failsafe.other_memory"), nil},
	FamilyLink:       {HeadingLink, onScreen, byItsChannel, linkKeys, linkMeasures},
	FamilySoak:       {HeadingLink, onScreen, byItsChannel, soakKeys, nil},
	FamilyAnswers:    {HeadingRest, onScreen, byItsChannel, keys("channels"), nil},
	FamilyEnds:       {HeadingOutputs, onScreen, byItsChannel, keys("outputs.#.travel"), nil},
	FamilyShift:      {HeadingOutputs, onScreen, byItsChannel, keys("stabiliser.neutral_shift_at_most"), nil},
	FamilyLearning:   {HeadingRest, onScreen, byItsChannel, keys("learning.steps", "learning"), nil},
	FamilyLevelling:  {HeadingRest, onScreen, byItsChannel, levellingKeys, nil},
	FamilyRighting:   {HeadingModes, onScreen, byItsChannel, rightingKeys, nil},
	FamilyDegrees:    {HeadingOutputs, onScreen, byItsChannel, keys("stabiliser.measure"), nil},
	FamilyEntered:    {HeadingOutputs, onScreen, byItsChannel, keys("stabiliser.measure"), nil},
	FamilyLevel:      {HeadingOutputs, onScreen, byItsChannel, keys("stabiliser.level_within", "stabiliser.measure"), nil},
	FamilyLaying:     {HeadingRest, onScreen, byItsChannel, keys("taps"), nil},
}

// That something never happened counts as seen only where it would have been seen.
// This is how much of that each family of claims needs, in live and believed frames
// (event.ExposureData) summed over the stretches of a session:
//
//	link/moving   leastMoving of known movement in leastSpells spells, or as long a heartbeat
//	link/spikes   leastSpikes heard, and something moved
//	link/missed   leastShare heard, for and against; for: and something moved
//	soak/outages  as long as it takes to be 95 % sure, for and against
//	soak/missed   20 runs of missed frames in 12 slots of live time, for and against
//	soak/stir     leastStirred of the stir drill's minute, each stick to both sides
//	gesture/*     leastGesture heard, and its channel moved
//	pulses/*      leastPulses of pulses, while the receiver heard its transmitter
//	passing/*     a change that was watched, from or to each wanted mode
//	clip/*        each place of the channel, or both its ends, visited
//	steady/*      never: a quiet bench can't show it
//	ends/*        all that moves the output held at its ends, on either side
//	shift/*       each wanted mode rested in, with the sticks let go
//	righting/alone   each switch that chooses the mode moved by itself, and the righting one
//
// Others that speak of a "no other" or "not" are judged by movements that would have
// shown it, and each says by which: alone/*, travel/*, moves/*, gain/fold, jitter/*.
const (
	leastMoving  = 20 * unit.Second
	leastSpells  = 3
	leastSpikes  = unit.Minute
	leastShare   = unit.Minute
	leastGesture = 10 * unit.Minute
	leastPulses  = unit.Minute
	leastMissed  = 10 // frames: fewer may be two or three wrong ones
)

// judgesOf makes the judges of a book's sheet, in the order in which they see. Each enters
// its claims as it is made, which gives their order. A sheet without channels has none.
func judgesOf(b *Book) []judge {
	s := b.sheet
	if s.Listens {
		return nil
	}
	b.handsReach = newHandsReach()
	list := []judge{b.handsReach} // others ask it
	for i := range s.Channels {
		list = append(list, judgesOfChannel(b, &s.Channels[i])...)
	}
	if s.Gain != nil && s.Gain.Channel != 0 {
		list = append(list, newGain(b))
	}
	if s.Stabiliser != nil {
		list = append(list, newModes(b))
	}
	if s.Measures(sheet.MeasureEdges) {
		b.edges = newEdges(b)
		list = append(list, b.edges)
	}
	for i := range s.Gestures {
		list = append(list, newGesture(b, i))
	}
	if s.Failsafe != nil {
		list = append(list, newFailsafe(b))
	}
	if s.RefusesMemories() {
		list = append(list, newOtherMemory(b))
	}
	list = append(list, judgesOfLeads(b)...)
	list = append(list, newLink(b))
	list = append(list, judgesOfRest(b)...)
	b.claimHandsReach() // the last to be read
	return list
}

// judgesOfLeads are those of the servo leads, none where there is no tap on them.
func judgesOfLeads(b *Book) (list []judge) {
	if !b.sheet.HasLeads() {
		return nil
	}
	for i := range b.sheet.Outputs {
		list = append(list, judgesOfOutput(b, &b.sheet.Outputs[i])...)
	}
	list = append(list, newResponse(b), newCorrection(b))
	return append(list, judgesOfFigures(b)...)
}

// judgesOfRest are those of what a sheet may have beside channels and leads.
func judgesOfRest(b *Book) (list []judge) {
	s := b.sheet
	if s.Soak != nil {
		list = append(list, newSoak(b))
	}
	if len(b.drills.Plan(drill.Stir).Prompts) > 0 {
		list = append(list, newStir(b))
	}
	if s.Righting() != nil {
		list = append(list, newRighting(b))
	}
	if s.HasPhone() {
		list = append(list, newLaying(b))
	}
	if s.Learning != nil {
		list = append(list, newLearning(b))
	}
	if s.Levelling != nil {
		list = append(list, newLevelling(b))
	}
	return list
}

func judgesOfChannel(b *Book, c *sheet.Channel) (list []judge) {
	switch c.Kind {
	case sheet.Switch, sheet.Momentary, sheet.Fixed:
		list = append(list, newPlaces(b, c))
	case sheet.Stick, sheet.Throttle:
		list = append(list, newStick(b, c))
	}
	if _, cuts := c.Place("cut"); cuts && c.Kind == sheet.Throttle && !b.sheet.Digital(c.Number) {
		list = append(list, newPowerUp(b, c))
	}
	if c.Kind != sheet.Fixed && !b.sheet.Digital(c.Number) {
		list = append(list, newRail(b, c))
	}
	return list
}

func judgesOfOutput(b *Book, o *sheet.Output) []judge {
	list := []judge{newMoves(b, o), newPulses(b, o)}
	if o.Travel != nil {
		list = append(list, newOutputTravel(b, o))
	}
	if b.sheet.Stabiliser != nil && b.sheet.Stabiliser.Shift > 0 && stickMoves(b.sheet, o) {
		list = append(list, newOutputShift(b, o))
	}
	if b.sheet.Failsafe != nil {
		list = append(list, newLeadLoss(b, o))
	}
	return list
}

// judgesOfFigures are those of what the sheet wants to be found in figures.
func judgesOfFigures(b *Book) (list []judge) {
	if b.sheet.Measures(sheet.MeasureDegrees) {
		list = append(list, newDegrees(b))
	}
	if b.sheet.Measures(sheet.MeasureGain) {
		list = append(list, newGainSeries(b))
	}
	if b.sheet.Measures(sheet.MeasureDegrees) || b.sheet.Measures(sheet.MeasureLevel) {
		list = append(list, newPropped(b))
	}
	return list
}
