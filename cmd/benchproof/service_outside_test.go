//go:build outside

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const unitFile = "benchproof@.service"

// exposure is how open a service the unit may be, in tenths, as systemd-analyze
// reckons it: 0 is shut, 100 wide open. A port, a loopback socket and the host's
// network cost what is left.
const exposure = "15"

// examine runs systemd-analyze; a machine without it fails.
func examine(t *testing.T, args ...string) (string, error) {
	t.Helper()
	tool, err := exec.LookPath("systemd-analyze")
	require.NoError(t, err, "the outside check needs systemd-analyze")
	out, err := exec.Command(tool, args...).CombinedOutput()
	return string(out), err
}

// serviceUnit is a copy of the unit, with lines replaced, whose program is there.
func serviceUnit(t *testing.T, replace ...string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("service", unitFile))
	require.NoError(t, err)
	self, err := os.Executable()
	require.NoError(t, err)
	replaced := string(text)
	for i := 0; i < len(replace); i += 2 {
		require.Contains(t, replaced, replace[i])
		replaced = strings.ReplaceAll(replaced, replace[i], replace[i+1])
	}
	path := filepath.Join(t.TempDir(), unitFile)
	require.NoError(t, os.WriteFile(path, []byte(strings.ReplaceAll(replaced, "/usr/bin/benchproof", self)), 0o600))
	return path
}

func TestTheUnitIsInOrder(t *testing.T) {
	out, err := examine(t, "verify", "--man=no", serviceUnit(t))
	require.NoError(t, err, out)
	assert.Empty(t, out)
	out, _ = examine(t, "verify", "--man=no", serviceUnit(t, "WatchdogSec=15", "WatchdogSek=15"))
	assert.Contains(t, out, "WatchdogSek", "a mistake is found")
}

// besideUnit copies a file of ours beside a unit, or below it, with words replaced.
func besideUnit(t *testing.T, unit, name, to string, replace ...string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("service", name))
	require.NoError(t, err)
	path := filepath.Join(filepath.Dir(unit), to)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte(strings.NewReplacer(replace...).Replace(string(text))), 0o600))
}

// The drop-in for long runs and the unit that it wants are in order, beside the unit.
func TestTheDropInIsInOrder(t *testing.T) {
	unit := serviceUnit(t)
	const dropIn, lies, awake = "long-run.conf", unitFile + ".d/long-run.conf", "benchproof-awake@.service"
	besideUnit(t, unit, awake, awake)
	// What is left out by a # is read too.
	besideUnit(t, unit, dropIn, lies, "#IPAddressAllow", "IPAddressAllow", "#MemoryDenyWriteExecute", "MemoryDenyWriteExecute")
	for _, path := range []string{unit, filepath.Join(filepath.Dir(unit), awake)} {
		out, err := examine(t, "verify", "--man=no", path)
		require.NoError(t, err, out)
		assert.Empty(t, out)
	}
	besideUnit(t, unit, dropIn, lies, "Environment=", "Surroundings=")
	out, _ := examine(t, "verify", "--man=no", unit)
	assert.Contains(t, out, "Surroundings", "a mistake in it is found")
	out, err := examine(t, "security", "--offline=true", "--no-pager", "--threshold=30", filepath.Join(filepath.Dir(unit), awake))
	require.NoError(t, err, out)
}

// So is the one that opens the page to the local network, and its settings are the program's.
func TestTheDropInForTheNetworkIsInOrder(t *testing.T) {
	unit := serviceUnit(t)
	const dropIn, lies = "local-network.conf", unitFile + ".d/local-network.conf"
	besideUnit(t, unit, dropIn, lies)
	out, err := examine(t, "verify", "--man=no", unit)
	require.NoError(t, err, out)
	assert.Empty(t, out)
	besideUnit(t, unit, dropIn, lies, "192.168.0.0/16", "192.168.0.0/160")
	out, _ = examine(t, "verify", "--man=no", unit)
	assert.Contains(t, out, "192.168.0.0/160", "a mistake in it is found")

	text, err := os.ReadFile(filepath.Join("service", dropIn))
	require.NoError(t, err)
	set := regexp.MustCompile(`(?m)^Environment=BENCHPROOF_([A-Z_]+)=`).FindAllStringSubmatch(string(text), -1)
	require.Len(t, set, 3)
	for _, s := range set {
		assert.Contains(t, everySetting, strings.ToLower(strings.ReplaceAll(s[1], "_", "-")))
	}
}

func TestTheUnitIsShut(t *testing.T) {
	out, err := examine(t, "security", "--offline=true", "--no-pager", "--threshold="+exposure, serviceUnit(t))
	require.NoError(t, err, out)
	out, err = examine(t, "security", "--offline=true", "--no-pager", "--threshold="+exposure, serviceUnit(t, "DynamicUser=yes", ""))
	assert.Error(t, err, "root is too much: %s", out)
}

// A descriptor from 1024 on makes the serial library panic.
func TestTheUnitKeepsDescriptorsLow(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("service", unitFile))
	require.NoError(t, err)
	limit := regexp.MustCompile(`(?m)^LimitNOFILE=(\d+)$`).FindStringSubmatch(string(text))
	require.Len(t, limit, 2)
	n, err := strconv.Atoi(limit[1])
	require.NoError(t, err)
	assert.LessOrEqual(t, n, 1024)
}

// The rules are read by the tool that reads them in earnest, where it is new
// enough to check them (from version 254 on); what they do is tried by the rig in
// monitor/port/kernelrig, on a real device.
func TestTheRulesAreInOrder(t *testing.T) {
	rules := filepath.Join("service", "70-benchproof.rules")
	require.FileExists(t, rules)
	if help, err := exec.Command("udevadm", "--help").CombinedOutput(); err != nil || !strings.Contains(string(help), "verify") {
		t.Logf("udevadm can't verify rules here: %v", err)
		return
	}
	out, err := exec.Command("udevadm", "verify", rules).CombinedOutput()
	assert.NoError(t, err, string(out))
}

// The flags of the unit are those of the program.
func TestTheUnitStartsTheProgram(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("service", unitFile))
	require.NoError(t, err)
	line := regexp.MustCompile(`(?m)^ExecStart=/usr/bin/benchproof (.*)$`).FindStringSubmatch(string(text))
	require.Len(t, line, 2)
	state := t.TempDir()
	args := strings.Fields(strings.NewReplacer("/etc/benchproof/%i.yaml", filepath.Join(state, "none.yaml"), "%S", state).Replace(line[1]))
	code, _, talk := call(t, args...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "none.yaml: no such file")
}
