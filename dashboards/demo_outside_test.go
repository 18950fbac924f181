//go:build outside

package dashboards_test

import (
	"math"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demo runs the program itself on a simulated bench, and gives its address.
func demo(t *testing.T, script string) (address string) {
	address, _ = demoOf(t, built(t), script)
	return address
}

// built is the program.
func built(t *testing.T) (program string) {
	program = filepath.Join(t.TempDir(), "benchproof")
	out, err := exec.Command("go", "build", "-o", program, "benchproof.example/cmd/benchproof").CombinedOutput()
	require.NoError(t, err, string(out))
	return program
}

// demoOf runs a program so; stop ends it.
func demoOf(t *testing.T, program, script string) (address string, stop func()) {
	cmd := exec.Command(program, "demo", "--script", script, "--session", filepath.Join(t.TempDir(), "session"), "--listen", "127.0.0.1:0")
	talk, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	stop = sync.OnceFunc(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	t.Cleanup(stop)
	return announced(t, talk, `http://([0-9.:]+)/`), stop
}

// The program plays a bench with a trouble at each receiver but one: each alert
// that a bus can cause fires about its own tap, and none about the good one; and
// all that the board asks for is answered.
func TestDemoInPrometheus(t *testing.T) {
	address := demo(t, "testdata/trouble.script")
	p := start(t, address)
	for _, key := range []string{"BenchWireDamaged damaged", "BenchFramesLeftOut gapped", "BenchLinkMissed poor", "BenchFailsafeStands lost",
		"BenchTapDown pulled", "BenchTapUnsteady shaky", "BenchBusSilent mute", "BenchValuesSuspect leapt", "BenchClaimSeenWrong "} {
		require.Eventually(t, func() bool {
			now, err := p.firing()
			return err == nil && now[key] != nil
		}, patience, often, "%s never fires", key)
	}
	p.answers(t, address)
	now, err := p.firing()
	require.NoError(t, err)
	for key := range now {
		assert.False(t, strings.HasSuffix(key, " main"), "%s, but main is well", key)
	}
}

// answers waits until each expression of the board has an answer of numbers.
func (p *prometheus) answers(t *testing.T, bench string) {
	for _, panel := range panels(t) {
		for _, q := range panel.Targets {
			if ofGoal(q.Expr) {
				continue
			}
			expr := asked(q.Expr, bench, "1m")
			var values []string
			var err error
			assert.Eventually(t, func() bool {
				values, err = p.ask(expr)
				return err == nil && len(values) > 0 && number(values)
			}, patience, often, "%s: %s gives nothing", panel.Title, expr)
			assert.NoError(t, err, panel.Title)
		}
	}
}

// ofGoal is for what the board asks of a goal: no demo declares one, so there is none.
func ofGoal(expr string) bool { return strings.Contains(expr, "_soak_goal_") }

// number reports whether one of the values is one.
func number(values []string) bool {
	for _, v := range values {
		if f, err := strconv.ParseFloat(v, 64); err == nil && !math.IsNaN(f) {
			return true
		}
	}
	return false
}
