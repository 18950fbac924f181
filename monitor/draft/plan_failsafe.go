package draft

import "benchproof.example/monitor/sheet"

// withoutSignal asks what the receiver is to do when the signal is gone, channel by channel.
func (m *Model) withoutSignal() []Question {
	list := []Question{choose("failsafe:flag", "Does the receiver flag a failsafe on the bus, by its manual?", wordUnknown,
		Choice{wordYes, "it does: without one, the failsafe is wrong"}, Choice{wordNo, "it never does"}, Choice{wordUnknown, "not known"})}
	if m.has(keyThrottle) {
		list = append(list, choose("failsafe:throttle", "Without a signal, what must the throttle do?", "cut",
			Choice{"cut", "go to cut, or beyond: the motor stops"}, Choice{"idle", "go to idle: an engine runs on, an electric motor may turn"},
			Choice{wordHold, "stay where it was: nobody can stop the motor by radio"}))
	}
	if len(m.Modes) > 0 {
		choices := []Choice{{wordHold, "the mode that was on stays on"}}
		seen := map[string]bool{}
		for _, x := range m.Modes {
			if !seen[x.Name] {
				choices = append(choices, Choice{x.Name, "the stabiliser goes to it, without a pilot"})
			}
			seen[x.Name] = true
		}
		list = append(list, choose("failsafe:mode", "Without a signal, which mode must it go to?", wordHold, choices...))
	}
	if c := m.Found[keyGain]; c.Kind == sheet.Knob || c.Kind == sheet.Switch {
		list = append(list, choose("failsafe:gain", "Without a signal, what must the gain do?", wordHold,
			Choice{wordHold, "stay as it was"}, Choice{"low", "go to its lower end, or its first place"}, Choice{"high", "go to its upper end, or its last place"},
			Choice{"now", "go to where it stood when everything was let go"}))
	}
	if m.anyStick() {
		list = append(list, choose("failsafe:sticks", "And the sticks?", wordHold, Choice{wordHold, "stay as they were"},
			Choice{"neutral", "go to neutral: surfaces are centred, and a stabiliser levels"}))
	}
	return list
}

func (m *Model) anyStick() bool {
	for _, g := range gimbals {
		if m.has(g.key) {
			return true
		}
	}
	return false
}

func (m *Model) lastQuestions() []Question {
	return []Question{
		choose("sticks", "Which stick mode has your transmitter?", wordUnknown, Choice{"1", "elevator and rudder on the left"},
			Choice{"2", "throttle and rudder on the left"}, Choice{"3", "elevator and aileron on the left"}, Choice{"4", "throttle and aileron on the left"},
			Choice{wordUnknown, "not known: prompts don't name the stick"}),
		choose("carries", "What does the bus carry? To find out: sticks still, stabiliser on, rock the model.", wordUnknown,
			Choice{"heard", "what the transmitter sent: bus values stay when the model is rocked"},
			Choice{"stabilised", "what the stabiliser makes of it: they move"}, Choice{wordUnknown, "not known"}),
	}
}
