package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/doctor"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/sheet"
)

func findings(t *testing.T, args ...string) (code int, of map[string][]doctor.Finding) {
	t.Helper()
	code, out, talk := call(t, append([]string{"doctor", "--json"}, args...)...)
	require.Empty(t, talk)
	var list []doctor.Finding
	require.NoError(t, json.Unmarshal([]byte(out), &list), out)
	of = map[string][]doctor.Finding{}
	for _, f := range list {
		of[f.What] = append(of[f.What], f)
	}
	want := exitDone
	if doctor.ToMend(list) > 0 {
		want = exitWrong
	}
	assert.Equal(t, want, code)
	return code, of
}

func TestDoctor(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("good.yaml", sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile("bad.yaml", []byte("sheet: 1\n"), 0o600))
	code, of := findings(t, "--bus", "main=nowhere", "--sheet", "bad.yaml")
	assert.Equal(t, exitWrong, code)
	require.NotEmpty(t, of["port"])
	assert.Equal(t, doctor.Mend, of["port"][0].State)
	assert.Contains(t, of["port"][0].Says, "there is no port nowhere")
	require.Len(t, of["sheet"], 1)
	assert.Equal(t, doctor.Mend, of["sheet"][0].State)
	assert.Contains(t, of["sheet"][0].Says, "without the key model")
	assert.Equal(t, doctor.Fine, of["version"][0].State)
	require.Len(t, of["clock"], 1)

	_, of = findings(t, "--sheet", "good.yaml")
	require.Len(t, of["sheet"], 1)
	assert.NotEqual(t, doctor.Mend, of["sheet"][0].State, of["sheet"][0].Says)
	assert.NotEqual(t, doctor.Mend, of["disk"][0].State, of["disk"][0].Says)
	_, of = findings(t)
	assert.Empty(t, of["sheet"])
	left, err := filepath.Glob(".benchproof-*")
	require.NoError(t, err)
	assert.Empty(t, left, "what was tried is taken away")

	_, out, _ := call(t, "doctor", "--bus", "nowhere")
	assert.Contains(t, out, "mend  port     there is no port nowhere: plug the adapter in")
	assert.Contains(t, out, "\nTo be mended: ")
}

func TestAFolderThatTakesNothing(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("sessions", nil, 0o600)) // a file in its place
	assert.Error(t, files.TryFolder("sessions"))
	assert.NoError(t, files.TryFolder(filepath.Join("not", "there", "yet")))
}
