package past

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/session"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// corpus are sessions of earlier builds.
const corpus = "../../../testdata/corpus"

// lay copies a session of the corpus beside others.
func lay(t *testing.T, above, name, as string) string {
	folder := filepath.Join(above, as)
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join(corpus, name))))
	return folder
}

func beside(t *testing.T, folder string) *Sessions {
	s, err := New(folder)
	require.NoError(t, err)
	return s
}

func names(list []api.PastSession) (all []string) {
	for _, one := range list {
		all = append(all, one.Name)
	}
	return all
}

func TestTheSessionsBesideOne(t *testing.T) {
	above := t.TempDir()
	own := lay(t, above, "reedwing-all-well", "b-own")
	recorded := lay(t, above, "gullpost-modes", "a-recorded")
	r, err := report.FromRecording(t.Context(), session.Folder(recorded))
	require.NoError(t, err)
	in, err := session.Folder(recorded).Open()
	require.NoError(t, err)
	require.NoError(t, r.Keep(in))
	require.NoError(t, in.Close())
	require.NoError(t, os.WriteFile(filepath.Join(recorded, record.PageFile), []byte("a page"), 0o600))
	lay(t, above, "reedwing-holds", "c-newest")

	elsewhere := t.TempDir()
	lay(t, elsewhere, "reedwing-leads", "away")
	require.NoError(t, os.Symlink(filepath.Join(elsewhere, "away"), filepath.Join(above, "d-link")))
	require.NoError(t, os.Mkdir(filepath.Join(above, "e-empty"), 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(above, "f-file"), nil, 0o600))
	broken := lay(t, above, "reedwing-holds", "g-broken")
	require.NoError(t, os.WriteFile(filepath.Join(broken, session.SheetFile), []byte("x"), 0o600))

	list, more, err := beside(t, own).List(t.Context())
	require.NoError(t, err)
	assert.Zero(t, more)
	require.ElementsMatch(t, []string{"a-recorded", "b-own", "c-newest"}, names(list))
	for i, one := range list {
		if i > 0 {
			assert.False(t, one.Begun.After(list[i-1].Begun), "the latest first")
		}
		assert.Equal(t, one.Name == "b-own", one.Running)
		assert.Equal(t, one.Name == "a-recorded", one.Report)
		assert.NotEmpty(t, one.Model)
		if one.Name == "a-recorded" {
			assert.Equal(t, r.LengthNS, one.LengthNS)
			assert.Equal(t, &r.Count, one.Count)
		} else {
			assert.Nil(t, one.Count)
		}
	}
}

// Neither a name nor a link leads out of the folder of sessions, nor to what is no plain file.
// A session whose folder goes with it has its own report, and tells of no other.
func TestOneAloneListsItself(t *testing.T) {
	above := t.TempDir()
	lay(t, above, "reedwing-holds", "another")
	s := beside(t, lay(t, above, "reedwing-all-well", "own"))
	s.Alone = true
	list, more, err := s.List(t.Context())
	require.NoError(t, err)
	assert.Zero(t, more)
	assert.Equal(t, []string{"own"}, names(list))
	assert.True(t, list[0].Running)
	html, err := s.Report(t.Context(), "own")
	require.NoError(t, err)
	assert.NotEmpty(t, html)
	_, err = s.Report(t.Context(), "another")
	require.ErrorIs(t, err, api.ErrNoSession)
}

func TestNothingElseIsShown(t *testing.T) {
	above := filepath.Join(t.TempDir(), "sessions")
	own := lay(t, above, "reedwing-all-well", "own")
	other := lay(t, above, "reedwing-holds", "other")
	away := lay(t, filepath.Dir(above), "reedwing-leads", "away")
	require.NoError(t, os.WriteFile(filepath.Join(away, record.PageFile), []byte("secret"), 0o600))
	require.NoError(t, os.Symlink(away, filepath.Join(above, "link")))
	require.NoError(t, os.Symlink(filepath.Join(away, record.PageFile), filepath.Join(other, record.PageFile)))
	s := beside(t, own)
	for _, name := range []string{"", ".", "..", "../away", "link", "other/..", "/", away, "none", "other\x00"} {
		_, err := s.Report(t.Context(), name)
		assert.ErrorIs(t, err, api.ErrNoSession, name)
	}
	html, err := s.Report(t.Context(), "other")
	require.NoError(t, err)
	assert.NotContains(t, string(html), "secret")
	list, _, err := s.List(t.Context())
	require.NoError(t, err)
	for _, one := range list {
		assert.False(t, one.Report, one.Name)
	}
	require.NoError(t, os.Mkdir(filepath.Join(above, "empty"), 0o700))
	_, err = s.Report(t.Context(), "empty")
	assert.ErrorIs(t, err, api.ErrNoSession)
}

// A report that is there is given; else one is made, kept for a minute, and not written.
func TestReports(t *testing.T) {
	above := t.TempDir()
	own := lay(t, above, "reedwing-all-well", "own")
	other := lay(t, above, "reedwing-holds", "other")
	for _, folder := range []string{own, other} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, record.PageFile), []byte("a page of before"), 0o600))
	}
	s := beside(t, own)
	at := time.Unix(0, 0)
	s.now = func() time.Time { return at }
	html, err := s.Report(t.Context(), "other")
	require.NoError(t, err)
	assert.Equal(t, "a page of before", string(html))
	made, err := s.Report(t.Context(), "own")
	require.NoError(t, err)
	assert.Contains(t, string(made), "<!DOCTYPE html>", "of the session that runs it is made")
	assert.Contains(t, string(made), "Reedwing 1400")
	kept, err := os.ReadFile(filepath.Join(own, record.PageFile))
	require.NoError(t, err)
	assert.Equal(t, "a page of before", string(kept))
	assert.NoFileExists(t, filepath.Join(own, record.RecordFile))

	stopped, stop := context.WithCancel(t.Context())
	stop()
	at = at.Add(keptFor - 1)
	again, err := s.Report(stopped, "own")
	require.NoError(t, err, "nothing is made")
	assert.Equal(t, made, again)
	at = at.Add(1)
	_, err = s.Report(stopped, "own")
	require.ErrorIs(t, err, context.Canceled)
	at = at.Add(-time.Hour) // the clock was set
	_, err = s.Report(stopped, "own")
	require.ErrorIs(t, err, context.Canceled)
}

func TestFewReportsAreKept(t *testing.T) {
	s := beside(t, t.TempDir())
	for i := range 100 {
		s.keep(fmt.Sprint(i), []byte("x"))
		s.keep(fmt.Sprint(i), []byte("y"))
	}
	require.Len(t, s.made, mostKept)
	assert.Equal(t, "y", string(s.madeBefore("99")))
	assert.Nil(t, s.madeBefore("90"))
}

func TestTheListIsBounded(t *testing.T) {
	above := t.TempDir()
	own := lay(t, above, "reedwing-all-well", "own")
	files, err := os.ReadDir(own)
	require.NoError(t, err)
	for i := range mostListed + 5 {
		folder := filepath.Join(above, fmt.Sprintf("2026-05-02-%06d", i))
		require.NoError(t, os.Mkdir(folder, 0o700))
		for _, f := range files { // as it began
			if f.Name() == session.SheetFile || strings.HasPrefix(f.Name(), "recording") {
				require.NoError(t, os.Link(filepath.Join(own, f.Name()), filepath.Join(folder, f.Name())))
			}
		}
	}
	list, more, err := beside(t, own).List(t.Context())
	require.NoError(t, err)
	assert.Len(t, list, mostListed)
	assert.Equal(t, 6, more)
	stopped, stop := context.WithCancel(t.Context())
	stop()
	_, _, err = beside(t, own).List(stopped)
	assert.ErrorIs(t, err, context.Canceled)
	_, _, err = beside(t, filepath.Join(above, "none", "of", "these")).List(t.Context())
	assert.Error(t, err)
}
