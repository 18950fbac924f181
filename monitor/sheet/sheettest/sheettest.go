// Package sheettest has a sheet that is unlike the starter, for tests: modes on two
// switches in one grid, and a gain that is folded about neutral.
package sheettest

import (
	"bytes"
	_ "embed"
	"slices"
)

//go:embed two-switches.yaml
var twoSwitchesText []byte

// TwoSwitches is that sheet.
func TwoSwitches() []byte { return slices.Clone(twoSwitchesText) }

// WholeCounts is TwoSwitches with texts replaced in it, old, new, old, new ..., and with a
// scale that puts whole microseconds on counts. A text that is not there panics.
func WholeCounts(changes ...string) []byte {
	text := TwoSwitches()
	changes = append(changes, "counts: [172, 1811] ", "counts: [0, 992] ", "us: [988, 2012] ", "us: [880, 1500] ")
	for i := 0; i < len(changes); i += 2 {
		if !bytes.Contains(text, []byte(changes[i])) {
			panic("the sheet has no " + changes[i])
		}
		text = bytes.Replace(text, []byte(changes[i]), []byte(changes[i+1]), 1)
	}
	return text
}
