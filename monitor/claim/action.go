package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Deed is what is to be done for an open claim to be seen.
type Deed int

// The deeds. Those from DoLoseSignal on name no control.
const (
	DoListen      Deed = iota // nothing: the wire shows it
	DoListenOn                // nothing, for so long at least; it is judged at the end of the sitting
	DoDrill                   // a drill, and nothing less
	DoPut                     // a switch to a place
	DoPutAll                  // several switches to a place each
	DoPress                   // a control that comes back, and let it go
	DoSweep                   // move a control through its range
	DoTurn                    // a knob to both its ends
	DoLoseSignal              // switch the transmitter off, and on again
	DoLoseAway                // move everything away from its preset before
	DoPowerUp                 // switch the receiver on without its transmitter
	DoMove                    // any stick
	DoMix                     // each stick to both ends, by itself
	DoRest                    // leave all sticks alone
	DoChangeModes             // go from each mode to each other
	DoTilt                    // tilt the model to either side
	DoHoldTilt                // tilt it and hold it, in each mode
	DoLook                    // look at a surface
	DoWatchGain               // wait for a swing, which may never come
	DoRestInModes             // leave all sticks alone in each mode
	DoBothEnds                // hold all that moves an output at the ends that take it farthest
)

// Action is what settles a claim that is open.
type Action struct {
	Do       Deed
	Settings []Setting     // the controls that it is done to, in the sheet's order
	Drill    string        // the drill in which it is asked for, "" where the wire alone shows it
	For      unit.Duration // DoListenOn: live and believed time that it takes at least, 0 where something else is counted
}

// Setting is a control and where it is to be.
type Setting struct {
	Channel string // its name
	Place   string // "" where it is only moved
}

// Waits reports that nothing is to be done but to go on listening.
func (d Deed) Waits() bool { return d == DoListen || d == DoListenOn || d == DoWatchGain }

// plainDeeds are the sentences of what is done to no control that is named.
var plainDeeds = map[Deed]string{
	DoListen:      "listen: nothing has to be moved for it",
	DoListenOn:    "listen for longer: that something never happens takes time to see",
	DoLoseSignal:  "switch the transmitter off, and on again",
	DoLoseAway:    "move everything away from its preset, then switch the transmitter off",
	DoPowerUp:     "switch the receiver on with the transmitter off",
	DoMove:        "move a stick",
	DoMix:         "move every stick to both ends, one at a time, in a mode without levelling",
	DoRest:        "leave all sticks alone for a few seconds with stabilisation off",
	DoChangeModes: "change from each wanted mode to each other",
	DoTilt:        "tilt the model to either side",
	DoHoldTilt:    "tilt the model and hold it, in each mode",
	DoLook:        "look at the surface",
	DoRestInModes: "let go of all sticks and leave them alone for five seconds in each wanted mode, the model level and still",
	DoBothEnds:    "hold all sticks that move it at the ends that take it farthest, for a second on either side",
	DoWatchGain:   "go on: too much gain may show as a slow swing, here or in the air",
}

// String says what to do, as a part of a sentence.
func (a Action) String() string {
	if plain, ok := plainDeeds[a.Do]; ok {
		return plain
	}
	if a.Do == DoDrill {
		return "drill " + a.Drill
	}
	if a.Do == DoPutAll {
		parts := make([]string, 0, len(a.Settings))
		for _, s := range a.Settings {
			parts = append(parts, s.Channel+" "+s.Place)
		}
		return "put " + text.And(parts)
	}
	first := a.Settings[0]
	switch a.Do {
	case DoPut:
		return fmt.Sprintf("put %s to %s", first.Channel, first.Place)
	case DoPress:
		return fmt.Sprintf("press %s and let it go", first.Channel)
	case DoSweep:
		return fmt.Sprintf("move %s through its range", first.Channel)
	}
	return fmt.Sprintf("turn %s to both ends", first.Channel)
}

// on is a deed at one control.
func on(do Deed, c *sheet.Channel, place string) Action {
	return Action{Do: do, Settings: []Setting{{c.Name, place}}}
}

// listenOn is for what must never happen: it takes so long, live and believed.
func listenOn(least unit.Duration) Action { return Action{Do: DoListenOn, For: least} }

// drilled is what only a drill can show.
func drilled(name string) Action { return Action{Do: DoDrill, Drill: name} }

// in has the drill ask for it.
func (a Action) in(drill string) Action {
	a.Drill = drill
	return a
}

// losing is what the failsafe drill asks for.
func losing(do Deed) Action { return Action{Do: do, Drill: drill.Failsafe} }

// putting is how the positions of a combination come to be seen: a fixed channel is put
// nowhere.
func putting(s *sheet.Sheet, at sheet.Combination) Action {
	a := Action{Do: DoListen, Drill: drill.Mode}
	for _, set := range at {
		if c, _ := s.Channel(set.Channel); c.Kind != sheet.Fixed {
			a.Do, a.Settings = DoPutAll, append(a.Settings, Setting{c.Name, set.Position})
		}
	}
	return a
}
