// Package sheettest has a sheet that is unlike the starter, for tests: modes on two
// switches in one grid, and a gain that is folded about neutral.
package sheettest

import (
	_ "embed"
	"slices"
)

//go:embed two-switches.yaml
var twoSwitchesText []byte

// TwoSwitches is that sheet.
func TwoSwitches() []byte { return slices.Clone(twoSwitchesText) }
