package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
)

// soakOf is a session that was made by hand.
func soakOf(t *testing.T, name string) string {
	folder := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("../../testdata/byhand", name))))
	return folder
}

func TestSoak(t *testing.T) {
	code, out, talk := call(t, "soak", soakOf(t, "soak-occasions-2"))
	require.Equal(t, exitDone, code, talk)
	for _, want := range []string{
		"distance: 3 m\n", "outputs: unplugged\n", "receiver's supply: not declared\n",
		"not watched for 29 min", "outages: 2, occasions of them: 2; what showed them: 2 flagged by the receiver",
		"What is proven", "What is not proven", "the sheet has no heartbeat (a spare",
		"No lithium pack that nobody watches", "no clearance to fly",
	} {
		assert.Contains(t, out, want)
	}

	code, out, talk = call(t, "soak", "--json", soakOf(t, "soak-last-loss"))
	require.Equal(t, exitDone, code, talk)
	var a state.Account
	require.NoError(t, json.Unmarshal([]byte(out), &a))
	assert.Zero(t, a.Taps[0].Outages)
	assert.Positive(t, a.Taps[0].GoneSinceNS)

	code, _, talk = call(t, "soak", t.TempDir())
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "name the folder of a session")
}

func TestAGoalIsDeclaredBefore(t *testing.T) {
	for _, wrong := range []string{"12h", "12 h quiet", "0h quiet", "1d quiet", "12h  quiet", "-1h quiet", "99999h quiet"} {
		assert.ErrorContains(t, checkGoal("", wrong), `such as "12h quiet"`, wrong)
	}
	for _, right := range []string{"", "12h quiet", "90min quiet"} {
		assert.NoError(t, checkGoal("", right))
	}
	begun := session.Folder(soakOf(t, "soak-goal"))
	assert.NoError(t, checkGoal(begun, ""))
	assert.NoError(t, checkGoal(begun, "1min quiet"))
	assert.ErrorContains(t, checkGoal(begun, "2min quiet"), "a goal is declared before anything is heard")
	assert.ErrorContains(t, checkGoal(session.Folder(soakOf(t, "soak-none")), "1min quiet"), "a goal is declared before anything is heard")
}
