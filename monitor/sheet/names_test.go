package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// Each name and text of a sheet is bounded where a session begins; a sheet that a session
// keeps is read as when it was written.
func TestNamesAreBoundedInANewSheet(t *testing.T) {
	for _, c := range []struct {
		what, old string
		most      int
	}{
		{"the model's name", "Reedwing 1400", 200},
		{"the surface", "left aileron", 200},
		{"a step of the receiver's procedure", "press teach once more", 200},
		{"a channel name", "aileron", 60},
		{"a tap name", "main", 60},
		{"a position name", "fourth", 60},
		{"a mode name", "hold-course", 60},
		{"a gesture name", "limit-learning", 60},
	} {
		for over, refused := range map[int]bool{0: false, 1: true, 3000: true} {
			name := strings.Repeat("ö", c.most+over)
			text := []byte(strings.ReplaceAll(string(sheet.Starter()), c.old, name))
			_, err := sheet.Read("m.yaml", text)
			require.NoError(t, err, c.what)
			_, _, err = sheet.ReadNew("m.yaml", text)
			if !refused {
				assert.NoError(t, err, c.what)
				continue
			}
			want := fmt.Sprintf("%q... of %d characters; %s of at most %d would be right", name[:80], c.most+over, c.what, c.most)
			assert.ErrorContains(t, err, strings.Replace(want, `"...`, `..."`, 1))
		}
	}
}
