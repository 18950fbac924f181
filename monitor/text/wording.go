package text

import "strings"

// NoMode is what widths ask for that no window of the sheet covers. No mode can have
// this name: those have no spaces.
const NoMode = "no mode"

// ModeName names a mode as people read it.
func ModeName(name string) string {
	if name == "" {
		return strings.ToUpper(NoMode) + " (no window of the sheet)"
	}
	return strings.ToUpper(name)
}

// PresetOrHold is what is said of a channel that stood at its preset when the signal
// went, everywhere.
const PresetOrHold = "preset or hold, could not tell"
