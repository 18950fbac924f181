//go:build kernel

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

const (
	kernelFolder = "../../../bin/kernel" // where make install-kernel unpacks the kernel
	rulesFolder  = "/lib/udev/rules.d"
	ourRules     = "../../../cmd/benchproof/service/70-benchproof.rules"
)

// one is the only file that a pattern finds.
func one(t *testing.T, pattern string) string {
	t.Helper()
	found, err := filepath.Glob(pattern)
	require.NoError(t, err)
	require.Len(t, found, 1, "%s: unpack a kernel with: make install-kernel", pattern)
	return found[0]
}

// furnished is the initramfs: the rig, the program under test, the drivers, and
// Debian's daemon that names devices with our rules.
func furnished(t *testing.T) []byte {
	t.Helper()
	a := &initramfs{known: map[string]bool{}}
	a.copy(t, "init", build(t, "."))
	a.copy(t, "bin/benchproof", build(t, "benchproof.example/cmd/benchproof"))
	a.write("etc/sheet.yaml", sheet.Starter())
	a.write("etc/passwd", []byte("root:x:0:0::/:/bin/none\nlistener:x:1000:1000::/home:/bin/none\n"))
	a.write("etc/group", fmt.Appendf(nil, "root:x:0:\ntty:x:5:\ndialout:x:%d:listener\nlistener:x:%d:\n", portists, listener))

	m := findModules(t, one(t, kernelFolder+"/lib/modules/*"))
	driver := m.claiming(t, fmt.Sprintf("usb:v%04Xp%04Xd", vendorID, productID))
	order := m.order(t, "vhci_hcd", driver)
	for _, name := range order {
		a.copy(t, "modules/"+name, m[name])
	}
	a.write("modules/order", []byte(strings.Join(order, "\n")))

	withLibraries(t, a, "/bin/udevadm")
	a.link("lib/systemd/systemd-udevd", "/bin/udevadm")
	for _, rules := range []string{"50-udev-default.rules", "60-serial.rules"} {
		a.copy(t, "lib/udev/rules.d/"+rules, filepath.Join(rulesFolder, rules))
	}
	a.copy(t, "lib/udev/rules.d/"+filepath.Base(ourRules), ourRules)
	return a.end()
}

// build builds a program that needs no libraries.
func build(t *testing.T, pkg string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "program")
	cmd := exec.Command("go", "build", "-ldflags", "-s -w", "-o", out, pkg)
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0")
	text, err := cmd.CombinedOutput()
	require.NoError(t, err, string(text))
	return out
}

// withLibraries adds a program of the host and the libraries that it needs.
func withLibraries(t *testing.T, a *initramfs, program string) {
	t.Helper()
	a.copy(t, strings.TrimPrefix(program, "/"), program)
	out, err := exec.Command("ldd", program).Output()
	require.NoError(t, err)
	for _, path := range regexp.MustCompile(`/\S+`).FindAll(bytes.ReplaceAll(out, []byte("=>"), nil), -1) {
		a.copy(t, strings.TrimPrefix(string(path), "/"), string(path))
	}
}
