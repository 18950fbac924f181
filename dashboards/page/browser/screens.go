package browser

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Size is that of a window, in CSS pixels.
type Size struct {
	Name          string
	Width, Height int
}

// The sizes that a page is looked at in.
var (
	Phone  = Size{"phone", 360, 740}
	Tablet = Size{"tablet", 820, 1180}
	Laptop = Size{"laptop", 1440, 900}
)

// Sizes are all of them.
var Sizes = []Size{Phone, Tablet, Laptop}

// screenFolder is where pictures are kept: bin/screens at the top of the source tree, ignored by git.
func screenFolder(t testing.TB) string {
	t.Helper()
	top, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(top, "go.mod")); err == nil {
			break
		}
		above := filepath.Dir(top)
		require.NotEqual(t, above, top, "no go.mod above the test")
		top = above
	}
	folder := filepath.Join(top, "bin", "screens")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	return folder
}

// Size gives the window another size.
func (tab *Tab) Size(s Size) {
	tab.t.Helper()
	tab.does("the size of a "+s.Name, patience, func(ctx context.Context) error { return tab.driver.resize(ctx, s.Width, s.Height) })
}

// Dark has the page shown as by a system whose person wants it dark, or light.
func (tab *Tab) Dark(on bool) {
	tab.t.Helper()
	tab.does("dark or light", patience, func(ctx context.Context) error { return tab.driver.dark(ctx, on) })
}

// Picture keeps a picture of what the window shows, as NAME.png in the folder of pictures.
func (tab *Tab) Picture(name string) {
	tab.t.Helper()
	tab.does("the picture "+name, patience, func(ctx context.Context) error {
		png, err := tab.driver.screenshot(ctx)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(screenFolder(tab.t), name+".png"), png, 0o600)
	})
}

// Screens keeps pictures in each size, light and dark, as FLOW-SIZE-light.png; in no size may the
// page run over to the right. It leaves the tab light, and in the size of a phone.
func (tab *Tab) Screens(flow string) {
	tab.t.Helper()
	for _, size := range Sizes {
		tab.Size(size)
		var wide []string
		tab.Eval("rig.wide()", &wide)
		assert.Empty(tab.t, wide, "%s runs over to the right on a %s", flow, size.Name)
		for scheme, dark := range map[string]bool{"light": false, "dark": true} {
			tab.Dark(dark)
			tab.Eval("new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))", nil)
			tab.Picture(flow + "-" + size.Name + "-" + scheme)
		}
	}
	tab.Dark(false)
	tab.Size(Phone)
}
