package compare

import (
	"fmt"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// amount puts what a measure counts into words.
func amount(in claim.MeasureUnit, v int64) string {
	switch in {
	case claim.InTime:
		return unit.FormatDuration(unit.Duration(v))
	case claim.InShare:
		return fmt.Sprintf("%.2f %%", float64(v)/10_000)
	}
	return unit.FormatWidth(unit.Width(v))
}

// held reports that a claim is on a channel which is to hold its value without a
// signal: then its value is where the hand was.
func held(c *claim.Claim, s *sheet.Sheet) bool {
	if c == nil || c.Family != claim.FamilyFailsafe || c.Channel == 0 {
		return false
	}
	p, ok := s.Preset(c.Channel)
	return ok && p.Rule == sheet.Hold
}
