package draft

import "strings"

// nameOf is the name that the channel of a control has in the sheet.
func (m *Model) nameOf(key string) string {
	if strings.HasPrefix(key, "other-") {
		_, name, _ := strings.Cut(m.said(key), " ")
		return name
	}
	if m.said("mode") == "1" && key == "mode-1" && !m.has("mode-1b") {
		return "mode"
	}
	return key
}
