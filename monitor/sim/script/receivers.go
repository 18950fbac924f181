package script

import (
	"embed"
	"slices"
	"strings"
)

// ReceiverKind is one way in which a receiver, and what sends to it, may take the
// loss of its signal.
type ReceiverKind struct {
	Name  string
	About string // a sentence on what it does
	// Setup is the settings of it, for a script whose channels they follow: aileron,
	// elevator, throttle, gain, inner with places back and middle, outer, teach
	// with places rest and pressed. The receiver is called main. What the seed
	// picks is written as ranges.
	Setup string
}

//go:embed receivers/*.txt
var kinds embed.FS

// Receivers are the kinds of receiver that come with the program, by name.
func Receivers() []ReceiverKind {
	files, _ := kinds.ReadDir("receivers") // an embedded folder can't fail
	all := make([]ReceiverKind, 0, len(files))
	for _, f := range files {
		text, _ := kinds.ReadFile("receivers/" + f.Name())
		about, setup, _ := strings.Cut(string(text), "\n")
		all = append(all, ReceiverKind{
			Name:  strings.TrimSuffix(f.Name(), ".txt"),
			About: strings.TrimPrefix(about, "# "),
			Setup: setup,
		})
	}
	slices.SortFunc(all, func(a, b ReceiverKind) int { return strings.Compare(a.Name, b.Name) })
	return all
}
