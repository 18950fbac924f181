package linefault

// For tests: the features, and how many there are.
const (
	Features = features
	Classes  = classes
)

// FeaturesOf are those of what was heard.
func FeaturesOf(h *Heard, span int64) [features]uint8 { return h.featuresOf(span) }
