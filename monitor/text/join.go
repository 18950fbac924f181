package text

import "strings"

// And joins names for a sentence: "a", "a and b", "a, b and c".
func And(names []string) string {
	if n := len(names); n > 2 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, " and ")
}
