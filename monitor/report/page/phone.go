package page

import "benchproof.example/monitor/claim"

// PhoneLies is what was seen of how a phone lies on the model: a verdict and its sentence.
func (p *page) PhoneLies() string {
	for i := range p.Claims {
		if c := &p.Claims[i]; c.ID == claim.FamilyLaying.ID("phone") {
			return c.Verdict + ": " + p.paper(c.Sentence)
		}
	}
	return "the sheet does not claim it"
}
