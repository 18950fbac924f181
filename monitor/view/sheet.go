package view

import (
	"crypto/sha256"
	"encoding/hex"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// Sheet is a sheet that was read from a text, as those see it who look from outside. name is
// its file as the builder knows it.
func Sheet(name string, text []byte, s *sheet.Sheet) *state.Sheet {
	sum := sha256.Sum256(text)
	v := &state.Sheet{
		Name: name, Hash: hex.EncodeToString(sum[:]), Model: s.Model,
		Lines: []state.SheetLine{}, Claims: []state.SheetClaim{}, Cells: cells(s),
	}
	lines := s.Lines(text)
	for i := range lines {
		l := &lines[i]
		v.Lines = append(v.Lines, state.SheetLine{
			Number: l.Number, Text: l.Text, Says: l.Says, Claims: []string{},
			Reads: state.SheetRead{Kind: string(l.Reads.Kind), Name: l.Reads.Name, Number: l.Reads.Number, Place: l.Reads.Place},
		})
	}
	for _, c := range claim.New(s).Claims() {
		n := sheet.LineOf(lines, c.Stated...)
		v.Claims = append(v.Claims, state.SheetClaim{
			ID: c.ID, Line: n, Heading: string(c.Heading()), Reopens: c.Reopens, Channels: append([]int{}, c.Channels...), OnlyWrong: c.OnlyWrong,
		})
		if n > 0 {
			v.Lines[n-1].Claims = append(v.Lines[n-1].Claims, c.ID)
		}
	}
	return v
}

// cells are the windows of all modes.
func cells(s *sheet.Sheet) []state.SheetCell {
	list := []state.SheetCell{}
	if s.Stabiliser == nil {
		return list
	}
	for _, mode := range s.Stabiliser.Modes {
		for n, cell := range mode.When {
			for _, w := range cell {
				list = append(list, state.SheetCell{Mode: mode.Name, Cell: n, Channel: w.Channel, FromNS: w.Lo, ToNS: w.Hi})
			}
		}
	}
	return list
}
