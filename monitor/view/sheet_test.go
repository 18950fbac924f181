package view_test

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

func TestASheetFromOutside(t *testing.T) {
	text := sheettest.TwoSwitches()
	s, err := sheet.Read("mine.yaml", text)
	require.NoError(t, err)
	v := view.Sheet("mine.yaml", text, s)
	sum := sha256.Sum256(text)
	assert.Equal(t, []string{"mine.yaml", hex.EncodeToString(sum[:]), s.Model}, []string{v.Name, v.Hash, v.Model})

	var written []string
	stated := map[string]int{}
	for _, l := range v.Lines {
		written = append(written, l.Text)
		assert.NotNil(t, l.Claims)
		for _, id := range l.Claims {
			assert.Zero(t, stated[id], "%s has one line", id)
			stated[id] = l.Number
		}
	}
	assert.Equal(t, string(text), strings.Join(written, "\n")+"\n", "as it is written")
	claims := claim.New(s).Claims()
	require.Len(t, v.Claims, len(claims))
	for i, c := range claims {
		assert.Equal(t, c.ID, v.Claims[i].ID)
		assert.Equal(t, stated[c.ID], v.Claims[i].Line, c.ID)
		assert.Equal(t, []any{string(c.Heading()), c.Reopens, c.OnlyWrong}, []any{v.Claims[i].Heading, v.Claims[i].Reopens, v.Claims[i].OnlyWrong})
	}
	assert.Equal(t, []state.SheetCell{
		{Mode: "upright", Channel: 11, FromNS: 1_700_000, ToNS: 3_000_000}, {Mode: "upright", Channel: 13, ToNS: 1_500_000},
	}, v.Cells[2:4])
}

// One that listens first judges nothing.
func TestASheetWithoutChannelsFromOutside(t *testing.T) {
	text := sheet.ForListening([]sheet.Tap{{Name: "main", Kind: "bus"}})
	s, err := sheet.Read("none", text)
	require.NoError(t, err)
	v := view.Sheet("none", text, s)
	assert.Empty(t, v.Claims)
	assert.Empty(t, v.Cells)
	assert.Equal(t, "link", v.Lines[5].Reads.Kind)
	assert.Equal(t, "", v.Lines[0].Says, "a remark")
}
