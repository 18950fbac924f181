package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// withoutChannels are the sections that a sheet without channels may have: they say how
// the bus is read. All others want something to be judged.
var withoutChannels = []string{"sheet", "model", "sticks", "taps", "scale", "percent", "tolerance", "channels"}

// ListeningModel is the model of the sheet that ForListening writes.
const ListeningModel = "listening"

// onlyListening refuses what a sheet without channels can't be judged by.
func (r *reader) onlyListening(top *record) {
	if top.none {
		return
	}
	for _, e := range top.at.entries {
		if _, known := top.keys[e.key.text]; known && !slices.Contains(withoutChannels, e.key.text) {
			r.refuse(e.key, fmt.Sprintf("the section %s in a sheet without channels, by which nothing is judged", quote(e.key.text)),
				"channels first, or this section left out,")
		}
	}
}

// IsName reports whether a text may be the name of a tap.
func IsName(text string) bool { return nameLike(text) && utf8.RuneCountInString(text) <= longestName }

// ForListening writes the sheet of a session for which none was named: its taps, and no
// channel.
func ForListening(taps []Tap) []byte {
	var text strings.Builder
	text.WriteString("# No sheet was named, so this one was made. It has no channels: a session under it\n" +
		"# shows what all channels do, and judges nothing.\n")
	fmt.Fprintf(&text, "sheet: %d\nmodel: %s\ntaps:\n", Format, ListeningModel)
	for _, t := range taps {
		fmt.Fprintf(&text, "  %q: {kind: %s", t.Name, t.Kind)
		if t.Protocol != "" {
			text.WriteString(", protocol: " + t.Protocol)
		}
		text.WriteString("}\n")
	}
	text.WriteString("channels: {}\n")
	return []byte(text.String())
}
