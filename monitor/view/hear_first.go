package view

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
)

// hearFirst are the steps that bring back the taps which are not live: without them nothing else
// is settled. Taps that want the same are named together. While a drill is under way there are
// none, since it may have asked for the loss and says itself what to do.
func hearFirst(s *state.State) (steps []state.Next) {
	if s.Drill != "" {
		return nil
	}
	for _, c := range state.Conditions() {
		taps := text.And(tapsThatAre(c, s))
		if do, known := bringsBack[c]; known && taps != "" {
			steps = append(steps, state.Next{Do: fmt.Sprintf(do, taps), Claims: []string{}, Settings: []state.Setting{}})
		}
	}
	return steps
}

// bringsBack is what to do about each condition; the taps are put in.
var bringsBack = map[state.Condition]string{
	state.ConditionNotOpen: "plug in the adapter of %s again: its port is gone (it is opened again by itself)",
	state.ConditionNothingIn: "look at the supply of the receiver, and at the lead and the adapter of %s: " +
		"nothing has come from there yet",
	state.ConditionUnreadable: "see why %s can't be read: a message in the list of events says it, or \"benchproof explain\" with its port",
	state.ConditionNoPulse:    "look at the servo leads of %s and at the supply of the receiver: the capture board hears no pulse",
	state.ConditionSilent: "look at the supply of the receiver, at the lead of %s, and whether the transmitter is on: " +
		"nothing comes from there any more",
	state.ConditionNoLiveFrame: "switch the transmitter on, sticks and switches at home: the receiver of %s hears nothing",
	state.ConditionFailsafe:    "switch the transmitter on, sticks and switches at home: the receiver of %s is in failsafe",
}

// tapsThatAre are the names of the taps in one condition; a phone is there when it is wanted.
func tapsThatAre(c state.Condition, s *state.State) (names []string) {
	for i := range s.Taps {
		if s.Taps[i].Phone == nil && s.Taps[i].Condition() == c && !slices.Contains(names, s.Taps[i].Name) {
			names = append(names, s.Taps[i].Name)
		}
	}
	return names
}
