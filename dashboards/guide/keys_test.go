package guide_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// The chapter of all keys is made of the sheet's table of keys; BENCHPROOF_REWRITE writes
// it. What stands before and behind it is written by hand.
func TestKeysAreThoseOfTheTable(t *testing.T) {
	const begin, end = "\n## All keys\n", "\n## When something was changed\n"
	page := topic(t, "sheet")
	before, rest, began := strings.Cut(page, begin)
	_, behind, ended := strings.Cut(rest, end)
	require.True(t, began && ended)
	made := before + begin + keysText() + end + behind
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile("sheet.md", []byte(made), 0o600))
		return
	}
	assert.Equal(t, made, page)
}

const keysIntro = "\nA `*` stands for a name or number of yours. At a terminal, `benchproof sheet explain` lists\n" +
	"the keys, and `benchproof sheet explain within` says what is here of one, by its path or its\nlast word.\n\n"

// keysText has the keys without any below them first, and then a part for each section.
func keysText() string {
	const head = "| key | what stands there | what it says | example |\n|---|---|---|---|\n"
	keys := sheet.Table()
	sections := map[string]bool{}
	for i := range keys {
		if section, _, below := strings.Cut(keys[i].Path, "."); below {
			sections[section] = true
		}
	}
	top, parts := keysIntro+head, ""
	for i := range keys {
		k := &keys[i]
		row := fmt.Sprintf("| `%s` | %s | %s | `%s` |\n", k.Path, k.Form(), k.Remark, k.Shown())
		section, _, below := strings.Cut(k.Path, ".")
		switch {
		case below:
			parts += row
		case sections[section]:
			parts += "\n### `" + section + "`\n\n" + head + row
		default:
			top += row
		}
	}
	return top + parts
}
