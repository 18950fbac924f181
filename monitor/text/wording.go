package text

import "strings"

// ModeName names a mode as people read it.
func ModeName(name string) string {
	if name == "" {
		return "NO MODE (no window of the sheet)"
	}
	return strings.ToUpper(name)
}

// PresetOrHold is what is said of a channel that stood at its preset when the signal
// went, everywhere.
const PresetOrHold = "preset or hold, could not tell"
