package drill

import (
	"strings"

	"benchproof.example/monitor/sheet"
)

// keyWords are the key words of acts that are about no control of the sheet.
var keyWords = map[Act]string{
	ActLetGo: "LET GO", ActCut: "CUT ON", ActCutFull: "STICK UP", ActIdle: "STICK DOWN",
	ActCount: "GET READY", ActLevel: "LEVEL", ActLook: "LOOK", ActLearn: "LEARN",
	ActWait: "WAIT", ActAway: "MOVE ALL AWAY", ActOff: "TRANSMITTER OFF", ActSettle: "TOUCH NOTHING", ActOn: "TRANSMITTER ON", ActBack: "WAIT",
	ActStill: "TOUCH NOTHING", ActStir: "STIR", ActTell: "TELL", ActWalk: "WALK",
	ActProp: "PROP TILTED",
	ActLay:  "LAY THE PHONE", ActRound: "TURN THE PHONE", ActDeclare: "AS FOR FLYING", ActEnter: "TOUCH NOTHING",
	ActCalm: "LET GO", ActServos: "TOUCH NOTHING", ActWaits: "WAIT", ActDisable: "NO LEARNING",
	ActSelect: "OTHER MEMORY", ActTry: "MOVE ALL STICKS", ActReselect: "OWN MEMORY",
	ActStart: "BEGIN", ActSide: "LAY", ActRests: "TOUCH NOTHING", ActFinish: "END", ActUnplug: "RECEIVER OFF", ActReplug: "RECEIVER ON",
}

// keyTilts are the key words of the two ways of tilting about an axis, as tilts has them.
var keyTilts = map[string]struct{ there, other string }{
	sheet.Pitch: {"TAIL UP", "NOSE UP"},
	sheet.Roll:  {"LEFT WING UP", "RIGHT WING UP"},
	sheet.Yaw:   {"NOSE LEFT", "NOSE RIGHT"},
}

// KeyWord is the part of a prompt that fills a screen, for eyes two metres away: the control
// and, in capitals, where it goes ("aid THIRD"), or what is to be done ("TRANSMITTER OFF").
func (p *Plan) KeyWord(s *sheet.Sheet, q *Prompt) string {
	switch a := &q.Asks; a.Act {
	case ActTilt:
		return keyTilts[a.Axis].there
	case ActOpposite:
		return keyTilts[a.Axis].other
	case ActRead:
		if a.Side < 0 {
			return keyTilts[a.Axis].other
		}
		return keyTilts[a.Axis].there
	case ActOff, ActOn:
		if p.Unpowers {
			return map[Act]string{ActOff: "BOTH OFF", ActOn: "RECEIVER ON"}[a.Act]
		}
		if len(q.Until.Beside) > 0 {
			return "HOLD, THEN OFF"
		}
	case ActKnobOn, ActKnobOff, ActStep:
		return keyOfKnob(s, a)
	case ActPass, ActPut, ActHold, ActRelease, ActReach, ActTurn, ActCentre, ActDial, ActCompare, ActReturn, ActOverride, ActYield, ActTeach, ActShow, ActAnswer:
		return keyOfControl(s, a)
	}
	return keyWords[q.Asks.Act]
}

// keyOfControl is about one control of the sheet; where the switches stand as they should
// already, it is about none.
func keyOfControl(s *sheet.Sheet, a *Ask) string {
	c, ok := s.Channel(a.Channel)
	switch {
	case !ok:
		return "LEAVE ALL"
	case a.Place == "":
		return c.Name + " CENTRE"
	case c.Kind == sheet.Throttle:
		return c.Name + " " + strings.ToUpper(way(c, a.Place))
	}
	return c.Name + " " + strings.ToUpper(a.Place)
}

// keyOfKnob is about a knob that a channel has for a while.
func keyOfKnob(s *sheet.Sheet, a *Ask) string {
	c, _ := s.Channel(a.Channel)
	way := map[Act]string{ActKnobOn: "A KNOB", ActKnobOff: "ITS SWITCH"}[a.Act]
	switch {
	case way != "":
		return c.Name + " " + way
	case a.Side > 0:
		return c.Name + " STEP UP"
	}
	return c.Name + " STEP DOWN"
}
