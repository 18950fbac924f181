package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/sheet"
)

func TestDraftSaysWhatItWants(t *testing.T) {
	there := filepath.Join(t.TempDir(), "there.yaml")
	require.NoError(t, os.WriteFile(there, []byte("mine"), 0o600))
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "name a file with -o FILE"},
		{[]string{"-o", "x.yaml"}, "name the adapter's port with --bus PORT, or a recorded session with --from"},
		{[]string{"-o", "x.yaml", "--bus", "/dev/x", "--from", "y"}, "got --from and a port, want one of them"},
		{[]string{"-o", there, "--bus", "/dev/x"}, "is there already: name another file, or say --overwrite"},
		{[]string{"-o", "x.yaml", "--from", "nowhere"}, "nowhere is no session: it has no recording"},
		{[]string{"-o", "x.yaml", "--bus", "/dev/x", "--protocol", "other"}, "got --protocol other, want one of: [servo-bus]"},
		{[]string{"-o", "x.yaml", "--bus", "/dev/x", "--leads-baud", "3"}, "got --leads-baud 3"},
	} {
		code, _, talk := call(t, append([]string{"draft"}, c.args...)...)
		assert.Equal(t, exitUsage, code, "%v", c.args)
		assert.Contains(t, talk, c.want)
	}
	text, err := os.ReadFile(there)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
}

// A recorded session gives a sheet that is in order.
func TestDraftOfASession(t *testing.T) {
	file := filepath.Join(t.TempDir(), "played.yaml")
	code, out, talk := call(t, "draft", "--from", "../../testdata/corpus/reedwing-leads", "-o", file)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "what is assumed is yours to check")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	s, _, err := sheet.ReadNew(file, text)
	require.NoError(t, err)
	assert.Positive(t, len(s.Channels))
	code, _, talk = call(t, "draft", "--from", "../../testdata/corpus/reedwing-leads", "-o", file)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "is there already")
}

// silentPort is a port that can be opened and sends nothing until it is closed.
type silentPort struct{ closed chan struct{} }

func (p *silentPort) Read([]byte) (int, error) {
	<-p.closed
	return 0, io.EOF
}

func (p *silentPort) Close() error {
	close(p.closed)
	return nil
}

// talks lets a person type lines into a draft that hears nothing.
func talks(t *testing.T, file string, lines ...string) (said string, err error) {
	t.Helper()
	var out bytes.Buffer
	sit, err := draftSession(map[string]string{"bus": "silent"}, "", 115_200)
	require.NoError(t, err)
	sit.taps[0].open = func(string) (io.ReadCloser, error) { return &silentPort{make(chan struct{})}, nil }
	d := newDraftDialogue(sit, file, &out, &out)
	err = d.run(t.Context(), strings.NewReader(strings.Join(lines, "\n")+"\n"))
	return out.String(), err
}

// What was answered is kept, and the same command goes on there. No sheet is written before it is one.
func TestADraftThatIsBrokenOffGoesOn(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	const file = "my.yaml"
	said, err := talks(t, file, "no", "yes", "Reedwing", "wrong", "plain", "q")
	require.Error(t, err)
	assert.Contains(t, said, "Type yes once all of it holds.")
	assert.Contains(t, said, `Got "wrong", want one of: plain, elevons, vtail.`)
	assert.Contains(t, said, "the same command goes on there")
	assert.NoFileExists(t, file)

	said, err = talks(t, file, "yes", "b", "", "s") // then the input ends
	require.Error(t, err)
	assert.Contains(t, said, "It goes on where it was broken off")
	assert.NotContains(t, said, "What is the model called?")
	assert.Contains(t, said, "Is there a motor or an engine")
	assert.Contains(t, said, "An answer is needed here")
	assert.NoFileExists(t, file)
	sessions, err := filepath.Glob(filepath.Join(sessionsFolder, sheet.ListeningModel, "*"))
	require.NoError(t, err)
	require.Len(t, sessions, 1, "it went on in the same session")
	code, _, talk := call(t, "session", "verify", sessions[0])
	assert.Equal(t, exitDone, code, talk)

	require.NoError(t, os.RemoveAll(sessionsFolder))
	said, err = talks(t, file, "q")
	require.Error(t, err)
	assert.Contains(t, said, "It goes on where it was broken off", "in another session")

	require.NoError(t, os.WriteFile(file+".draft", []byte("{"), 0o600))
	_, err = talks(t, file, "yes")
	require.ErrorContains(t, err, "can't be gone on with")
}
