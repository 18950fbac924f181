package drill

// Ask is what a prompt asks for, as data: claims and watchers go by this, people by the
// text.
type Ask struct {
	Act     Act
	Channel int    // the control that is to be moved, with ActPut the last of them; 0 for none or several
	Place   string // of that control, where it is to be; "" where it has no name
	Mode    string // that the switches are to choose in the end, "" where any will do
	At      int    // which of the mode's wanted positions, from 0
	Axis    string // about which the model is tilted, or whose surface is looked at
	Side    int    // to which side it is to rest: 1 as a first tilt has it, -1 the other way; 0 for level
	Last    bool   // the last rest of its axis and mode
	GainAt  int    // which place of the gain knob it rests at, from 1; 0: in no gain series
}

// Rests reports that the model is to rest at an angle, which is measured.
func (a Ask) Rests() bool { return a.Act == ActRead || a.Act == ActDeclare || a.Act == ActEnter }

// Act is what is to be done. Words that watchers keep in a checkpoint don't change.
type Act string

// The acts.
const (
	ActPass     Act = "pass"     // a switch is put to a place, on the way to others
	ActPut      Act = "put"      // the switches are put where a mode is wanted
	ActHold     Act = "hold"     // a stick is held at an end, and no other is moved
	ActRelease  Act = "release"  // it is let go
	ActReach    Act = "reach"    // a control is brought slowly to its stop
	ActTurn     Act = "turn"     // the gain knob is turned to an end
	ActCentre   Act = "centre"   // ... to the centre of its turn
	ActDial     Act = "dial"     // ... to about a width between its ends
	ActLetGo    Act = "sticks"   // all sticks rest
	ActIdle     Act = "idle"     // the throttle stick is down
	ActCut      Act = "cut"      // ... with throttle cut on
	ActCutFull  Act = "cut-full" // the stick is up, with throttle cut on
	ActCompare  Act = "stick"    // the stick that a tilt is compared with is held over
	ActReturn   Act = "home"     // it is let go
	ActCount    Act = "count"    // the model is taken up; a tilt is counted in
	ActTilt     Act = "there"    // it is tilted and held: tail raised, left wing raised, nose jerked left
	ActOpposite Act = "other"    // the opposite
	ActLevel    Act = "level"    // it is put back
	ActLook     Act = "eye"      // a surface is looked at
	ActLay      Act = "lay"      // a phone is laid on the model
	ActRound    Act = "round"    // it is turned half round on its spot, or back
	ActLearn    Act = "learn"    // a step of limit learning
	ActProp     Act = "prop"     // the model is propped up tilted, so that nobody holds it
	ActOverride Act = "override" // the switch that overrides the mode is put on
	ActYield    Act = "yield"    // ... and off again
	ActCalm     Act = "calm"     // all sticks rest and the throttle is down, before a procedure begins
	ActServos   Act = "servos"   // the receiver moves its servos by itself, and nobody touches anything
	ActTeach    Act = "teach"    // a control is brought where the receiver learns how far it goes
	ActWaits    Act = "waits"    // a procedure of the receiver's goes on by itself
	ActShow     Act = "show"     // a control is held at an end, so that outputs show where theirs is
	ActStart    Act = "start"    // a procedure of the receiver's is begun
	ActSide     Act = "side"     // the model is laid on one of its sides
	ActRests    Act = "rests"    // it lies there, still
	ActFinish   Act = "finish"   // the procedure is ended
	ActUnplug   Act = "unplug"   // the receiver's supply is cut, the transmitter stays on
	ActReplug   Act = "replug"   // it is there again, and the model lies still
	ActDisable  Act = "disable"  // limit learning is disabled
	ActKnobOn   Act = "knob-on"  // a mode channel is given a knob for a while
	ActStep     Act = "step"     // it is turned to a width, the model rocked, and what the surfaces do is typed
	ActKnobOff  Act = "knob-off" // the channel has its switch again

	ActSelect   Act = "select"  // another model memory is selected in the transmitter
	ActTry      Act = "try"     // its sticks and switches are moved, and nothing may answer
	ActReselect Act = "own"     // this model's memory is selected again
	ActAnswer   Act = "answers" // a stick is held at an end, to see that the model answers again

	ActWait   Act = "wait"   // everything stays on for a while
	ActAway   Act = "away"   // everything is to be away from its preset
	ActOff    Act = "off"    // the transmitter is switched off; in a plan that cuts the supply, both are
	ActSettle Act = "settle" // what the receiver does is watched
	ActOn     Act = "on"     // everything home, and on again; in a plan that cuts the supply, the receiver alone
	ActBack   Act = "back"   // the signal is waited for

	ActStill Act = "still" // all sticks rest, for a span
	ActStir  Act = "stir"  // all sticks but the throttle are stirred

	ActTell Act = "tell" // what can't be seen is typed
	ActWalk Act = "walk" // somebody walks from mark to mark

	ActRead    Act = "read"    // the model rests tilted, and its angle is typed
	ActDeclare Act = "declare" // it rests in the attitude for flying
	ActEnter   Act = "enter"   // it rests tilted, and a mode is entered meanwhile
)

// MovesNoChannel reports that hands are at the model, or that what is asked for is rest.
func (a Ask) MovesNoChannel() bool {
	switch a.Act {
	case ActCount, ActTilt, ActOpposite, ActLevel, ActLook, ActLetGo, ActIdle, ActCut, ActCutFull, ActStill, ActTell, ActWalk,
		ActProp, ActRead, ActDeclare, ActEnter, ActLay, ActRound,
		ActCalm, ActServos, ActWaits, ActStart, ActSide, ActRests, ActFinish, ActUnplug, ActReplug,
		ActDisable, ActSelect, ActTry, ActReselect:
		return true
	}
	return false
}
