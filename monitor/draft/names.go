package draft

import "strings"

// other is the kind and the name of a further control, as they were typed; empty for any other key.
func (m *Model) other(key string) (kind, name string) {
	if m.Answers[key].Wants != WantsControl {
		return "", ""
	}
	kind, name, _ = strings.Cut(m.said(key), " ")
	return kind, name
}

// nameOf is the name that the channel of a control has in the sheet.
func (m *Model) nameOf(key string) string {
	if _, name := m.other(key); name != "" {
		return name
	}
	if m.said("mode") == "1" && key == "mode-1" && !m.has("mode-1b") {
		return "mode"
	}
	return key
}
