package draft

import (
	"fmt"
	"slices"
	"strconv"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// The keys of controls, which are the names of their channels in the sheet too.
const (
	keyTeach    = "teach"
	keyGain     = "gain"
	keyThrottle = "throttle"
	keyElevator = "elevator"
	keyAileron  = "aileron"
	keyRudder   = "rudder"
)

// Words that stand for something in answers.
const (
	wordNone    = "none"
	wordUnknown = "unknown"
	wordYes     = "yes"
	wordNo      = "no"
	wordHold    = "hold"
)

// steps are the questions of what is known so far, in their order. Those that were answered or skipped are among them.
func (m *Model) steps() (list []Question) {
	for _, part := range []func() []Question{
		m.aboutTheModel, m.aboutLearning, m.atRest, m.modeSwitches, m.gainQuestions, m.stickQuestions, m.throttleQuestions,
		m.mixQuestions, m.otherControls, m.modeNames, m.windowQuestions, m.withoutSignal, m.lastQuestions,
	} {
		list = append(list, part()...)
	}
	never := m.never()
	for i := range list {
		q := &list[i]
		if q.Wire() || q.Act == ActPutMode {
			q.Never = never
		}
		if q.Wants == WantsEdges {
			q.Places = len(m.Found[q.Control].Places)
		}
	}
	return list
}

// never are the channels that no hand may move.
func (m *Model) never() []int {
	if c, ok := m.Found[keyTeach]; ok {
		return []int{c.Channel}
	}
	return nil
}

// next is the first question that was neither answered nor skipped; nil: there is none.
func (m *Model) next() *Question {
	for _, q := range m.steps() {
		if !m.Done[q.ID] {
			return &q
		}
	}
	return nil
}

func tell(wants Wants, id, text, enter, means string) Question {
	return Question{ID: id, Act: ActTell, Wants: wants, Text: text, Enter: enter, Means: means}
}

func choose(id, text, enter string, choices ...Choice) Question {
	return Question{ID: id, Act: ActChoose, Text: text, Enter: enter, Choices: choices}
}

func (m *Model) aboutTheModel() []Question {
	return []Question{
		{ID: "cautions", Act: ActConfirm, NoSkip: true, Cautions: drill.CautionsOfAll(),
			Text: "The throttle and all that moves will be moved. Type yes when all of this holds."},
		tell(WantsText, "model", "What is the model called?", "My model", "My model"),
		choose("wing", "What has it to steer with?", "", Choice{"plain", "ailerons, elevator and rudder, each on outputs of its own"},
			Choice{"elevons", "a flying wing: two surfaces for roll and pitch"}, Choice{"vtail", "two tail surfaces for pitch and yaw"}),
		choose("motor", "Is there a motor or an engine on the throttle channel?", "", Choice{wordYes, "there is"}, Choice{wordNo, "a glider"}),
	}
}

func (m *Model) aboutLearning() []Question {
	list := []Question{tell(WantsChannel, "teach", "Which channel starts limit learning in the receiver, if one does? Type its number, as the receiver's manual "+
		"and your transmitter have it. Nothing here asks you to move it, and you must not: what the receiver has learned would be lost. "+
		"Where you are not sure, look it up before you go on.",
		wordNone, "none does")}
	if m.said("teach") == wordNone || !m.Done["teach"] {
		return list
	}
	return append(list,
		choose("teach:kind", "What is it on?", sheet.Momentary, Choice{sheet.Momentary, "a switch that springs back by itself"},
			Choice{sheet.Switch, "a switch that stays: in flight a hand can set it off"}),
		tell(WantsWidth, "teach:pressed", "At which width does it act, in microseconds, by your transmitter's monitor? Look it up; don't move it.", wordUnknown,
			"not known: the mirror of where it rests is assumed"),
		tell(WantsTimes, "teach:times", "How often must it be moved, and in how many seconds? As the manual has it, such as: 2 5", wordUnknown,
			"not known: no gesture is watched for"))
}

func (m *Model) atRest() []Question {
	return []Question{{ID: "rest", Act: ActRest, NoSkip: true,
		Text: "Let go of everything, throttle stick fully down, and touch nothing for four seconds."}}
}

// modeSwitches asks for the switches that choose the mode.
func (m *Model) modeSwitches() []Question {
	list := []Question{choose("mode", "How many switches choose the stabiliser's mode?", "", Choice{"1", "one"}, Choice{"2", "two together"}, Choice{"0", "none"})}
	n, _ := strconv.Atoi(m.said("mode"))
	for i := 1; i <= n; i++ {
		list = append(list, through(fmt.Sprintf("mode-%d", i), []string{"the switch that chooses the mode", "the first of the two switches",
			"the second of the two switches"}[min(n-1, 1)*i], m)...)
	}
	return list
}

// through asks how many places a switch has, and to put it through them.
func through(key, what string, m *Model) []Question {
	list := []Question{tell(WantsCount, key+":count", "How many places has "+what+"?", "", "")}
	n, _ := strconv.Atoi(m.said(key + ":count"))
	if n < 2 {
		return list
	}
	text := fmt.Sprintf("Put %s to its first place, then one place further at a time through all %d. A second at each; no other switch.", what, n)
	if n == 2 {
		text = fmt.Sprintf("Put %s to its other place and back, twice. A second at each; no other switch.", what)
	}
	list = append(list, Question{ID: key + ":places", Act: ActThrough, Control: key, Places: n, Text: text})
	if m.Pair.Key == key {
		both := choose(key+":both", fmt.Sprintf("Channels %d and %d both moved. Does this one switch move both?", m.Pair.Channels[0], m.Pair.Channels[1]), "",
			Choice{wordYes, "both choose the mode together"}, Choice{wordNo, "another one was moved too: it is asked for again"})
		both.Control = key
		list = append(list, both)
	}
	return list
}

func (m *Model) gainQuestions() []Question {
	list := []Question{choose("gain", "How is the stabiliser's gain, its strength, set?", "", Choice{sheet.Knob, "by a knob or a slider"},
		Choice{sheet.Switch, "by a switch"}, Choice{sheet.Fixed, "by a channel that always sends the same"},
		Choice{"receiver", "in the receiver: no channel"}, Choice{wordNone, "not at all"})}
	switch m.said("gain") {
	case sheet.Knob:
		list = append(list, endToEnd("gain", keyGain, "the gain knob")...)
	case sheet.Switch:
		list = append(list, through(keyGain, "the gain switch", m)...)
	case sheet.Fixed:
		list = append(list, tell(WantsChannel, "gain:channel", "Which channel is it? Type its number.", "", ""))
	}
	if !m.has(keyGain) {
		return list
	}
	list = append(list, choose("gain:law", "How does the gain channel act, by the receiver's manual?", sheet.OneSided,
		Choice{sheet.OneSided, "none at one end, full at the other"}, Choice{sheet.Folded, "none in the middle, full at both ends"},
		Choice{sheet.SignSelects, "the side of the middle chooses what it does, the distance how strongly"}))
	switch m.said("gain:law") {
	case sheet.Folded, sheet.SignSelects:
		list = append(list, tell(WantsWidth, "gain:zero", "At which width is there no gain, in microseconds?", "1500", "1500, the usual middle"))
	case sheet.OneSided:
		if m.said("gain") == sheet.Fixed {
			return append(list, tell(WantsWidth, "gain:zero", "At which width is there no gain, in microseconds?", "1500", "1500"),
				tell(WantsWidth, "gain:full", "And full gain?", "2000", "2000"))
		}
		list = append(list, choose("gain:none", "At which of its ends is there no gain?", "low", Choice{"low", "the lower, or the first place"},
			Choice{"high", "the upper, or the last place"}))
	}
	return list
}

// endToEnd asks for a knob to be turned from end to end.
func endToEnd(id, key, what string) []Question {
	return []Question{
		{ID: id + ":low", Act: ActPut, Control: key, End: "low", Text: fmt.Sprintf("Turn %s to its lower end, and leave it there. (Enter, if it is there.)", what)},
		{ID: id + ":ends", Act: ActStroke, Control: key, End: "high",
			Text: fmt.Sprintf("Turn %s to its upper end, wait a moment, and back to its lower one. Twice.", what)},
	}
}

// gimbal is a stick, or an axis of one, and its two ends.
type gimbal struct{ key, first, second, what string }

// gimbals are the sticks and the ends that are asked for, in their order.
var gimbals = []gimbal{
	{keyElevator, "back", "forward", "Elevator stick"},
	{keyAileron, "left", "right", "Aileron stick"},
	{keyRudder, "left", "right", "Rudder stick"},
}

// steering reports a control that moves outputs.
func steering(key string) bool {
	return key == keyThrottle || slices.ContainsFunc(gimbals, func(g gimbal) bool { return g.key == key })
}

func (m *Model) stickQuestions() (list []Question) {
	for _, g := range gimbals {
		for _, end := range []string{g.first, g.second} {
			list = append(list, Question{ID: g.key + ":" + end, Act: ActStroke, Control: g.key, End: end,
				Text: fmt.Sprintf("%s %s to its stop, hold it there for a moment, let go. Twice. (Skip it where the model has none.)", g.what, end)})
		}
	}
	return list
}

func (m *Model) throttleQuestions() []Question {
	if m.said("motor") == wordNo {
		return nil
	}
	list := []Question{{ID: "throttle:ends", Act: ActStroke, Control: keyThrottle, End: "full",
		Text: "Throttle cut off, throttle stick fully down. Then fully up, wait a moment, and fully down again. Twice."}}
	if !m.has(keyThrottle) {
		return list
	}
	list = append(list, choose("throttle:cut", "Is there a throttle cut, a switch that holds the throttle off?", "",
		Choice{wordYes, "there is"}, Choice{wordNo, "there is none"}))
	if m.said("throttle:cut") == wordYes {
		list = append(list,
			Question{ID: "throttle:on", Act: ActJump, Control: keyThrottle, End: "cut",
				Text: "Put the throttle cut on, and leave it. (Enter, if it sends the same as the stick fully down.)"},
			Question{ID: "throttle:off", Act: ActBack, Control: keyThrottle, End: "idle", Text: "Take the throttle cut off again."})
	}
	return list
}

func (m *Model) mixQuestions() (list []Question) {
	for _, x := range m.Mixes {
		list = append(list, choose(mixID(&x), fmt.Sprintf("While %s moved, %s went along by %s. Is that mix in the transmitter wanted? "+
			"(Many stabilising receivers want sticks unmixed.)", x.Key, m.called(x.Channel), unit.FormatWidth(x.Travel)), wordNo,
			Choice{wordYes, "it is"}, Choice{wordNo, "it is not, and it will be reported"}))
	}
	return list
}

// called is a channel as a sentence has it.
func (m *Model) called(channel int) string {
	if key := m.taken(channel); key != "" {
		return key
	}
	return fmt.Sprintf("channel %d", channel)
}

func (m *Model) otherControls() (list []Question) {
	for n := 1; n <= m.Others+1; n++ {
		id := fmt.Sprintf("other-%d", n)
		list = append(list, tell(WantsControl, id,
			"Is there another switch or knob on a channel that matters? Type switch, knob or momentary, and its name, such as: switch flaps",
			wordNone, "no more"))
		kind, name := m.other(id)
		switch kind {
		case sheet.Switch:
			list = append(list, through(id, "the switch "+name, m)...)
		case sheet.Knob:
			list = append(list, endToEnd(id, id, name)...)
		case sheet.Momentary:
			list = append(list, Question{ID: id + ":ends", Act: ActStroke, Control: id, End: "pressed",
				Text: fmt.Sprintf("Press %s for a second and let it go. Twice.", name)})
		}
	}
	return list
}

func (m *Model) modeNames() (list []Question) {
	if len(m.modeKeys()) == 0 {
		return nil
	}
	for n := 1; n <= len(m.Modes)+1 && n <= m.combinations(); n++ {
		q := Question{ID: fmt.Sprintf("modes:%d", n), Act: ActPutMode, Enter: wordNone, Means: "no more modes",
			Text: "Put the switches where you want a mode, and type what it is called."}
		if list = append(list, q); m.said(q.ID) == wordNone {
			break
		}
	}
	return list
}

// edgesAsked asks for the edges of the windows of a switch.
func edgesAsked(key, text, enter, means string) Question {
	q := tell(WantsEdges, windowsOf(key), text, enter, means)
	q.Control = key
	return q
}

// windowsOf is the question for the windows of a switch.
func windowsOf(key string) string { return "windows:" + key }

func (m *Model) windowQuestions() (list []Question) {
	if len(m.Modes) == 0 {
		return nil
	}
	for _, key := range m.modeKeys() {
		c := m.Found[key]
		list = append(list, edgesAsked(key, fmt.Sprintf("Where do the windows of the modes end, by the receiver's manual? Type the %d edges between the places of "+
			"%s in microseconds, lowest first.", len(c.Places)-1, c.Name), wordUnknown, "not known: the middle between places is assumed, and called a guess"))
	}
	return list
}
