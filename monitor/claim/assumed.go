package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
)

// asAssumed is said of what was seen right and rests on a value that nobody measured or said.
const asAssumed = "; what the sheet has there is assumed"

// restsOnAssumed reports that a claim rests on a value which the sheet assumes.
func (c *Claim) restsOnAssumed(s *sheet.Sheet) bool {
	return slices.ContainsFunc(c.restsOn(s), s.Assumes)
}

// restsOn are the keys whose values a claim compares with, by their paths; those below one that ends in a point.
func (c *Claim) restsOn(s *sheet.Sheet) []string {
	channel := fmt.Sprintf("channels.%d.", c.Channel)
	switch c.Family {
	case FamilyPosition, FamilyMomentary, FamilyOrder, FamilyTravel, FamilyClip, FamilyNeutral, FamilyIdle, FamilyCut:
		return []string{channel}
	case FamilyGain:
		return []string{"gain."}
	case FamilyMargin: // that windows are a guess, sentences on modes say themselves
		return []string{"stabiliser.margin"}
	case FamilyGesture:
		return []string{"gestures." + c.Part + ".", channel}
	case FamilyCorrection:
		return []string{fmt.Sprintf("outputs.%d.corrects", c.Output)}
	case FamilyMoves:
		return []string{fmt.Sprintf("outputs.%d.moved_by", c.Output)}
	case FamilyFailsafe, FamilyPowerUp:
		return c.withoutSignal(s)
	}
	return nil
}

// withoutSignal are the keys of a claim on what the receiver does without a signal.
func (c *Claim) withoutSignal(s *sheet.Sheet) []string {
	switch {
	case c.Part == "flag":
		return []string{"failsafe.flag"}
	case c.Part == "time":
		return []string{"failsafe.within"}
	case c.Output != 0:
		return []string{"failsafe.leads."}
	case c.Channel != 0:
		return []string{s.PresetPath(c.Channel)}
	}
	return nil
}
