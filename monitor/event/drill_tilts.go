package event

// The drills that tilt the model. Their prompts are "response/MODE/N/STEP" and
// "correction/AXIS/STEP".
const (
	ResponseDrill   = "response"
	CorrectionDrill = "correction"

	PromptStick    = "stick" // the stick that the answer is compared with is held over
	PromptTilted   = "there" // tilted, and held: tail raised, left wing raised, nose jerked left
	PromptOpposite = "other" // the opposite
	PromptLook     = "eye"   // the surface is looked at
)
