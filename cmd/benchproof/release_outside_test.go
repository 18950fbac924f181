//go:build outside

package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is given away is made twice, in two places: once for all systems (where there is no hour for
// it, for what is packed in each way: those that are compiled here anyway, and one that zips), once for
// those two whose archives are of different kinds. Compilers are trusted to be repeatable: what
// one compiled may serve the other, if nothing in it depends on the place.
func TestRelease(t *testing.T) {
	systems, debian := []string{"linux/amd64", "linux/arm64", "windows/amd64"}, 2
	if os.Getenv("BENCHPROOF_SOAK") != "" {
		systems, debian = append(systems, "linux/arm", "darwin/arm64"), 3
	}
	first, second := cloneOf(t, "first"), cloneOf(t, "a second place")
	outputOf(t, first, "make", "release", "SYSTEMS="+strings.Join(systems, " "))
	outputOf(t, second, "make", "release", "SYSTEMS=linux/"+runtime.GOARCH+" windows/amd64")
	dist := filepath.Join(first, "dist")
	outputOf(t, dist, "sha256sum", "--check", "--quiet", "SHA256SUMS")
	files, err := filepath.Glob(filepath.Join(dist, "benchproof_*"))
	require.NoError(t, err)
	assert.Len(t, files, 2*len(systems)+debian, "archives, lists of parts, packages")

	t.Run("the same bytes again", func(t *testing.T) {
		again, err := filepath.Glob(filepath.Join(second, "dist", "benchproof_*"))
		require.NoError(t, err)
		require.Len(t, again, 2+2+1)
		for _, path := range again {
			want, err := os.ReadFile(filepath.Join(dist, filepath.Base(path)))
			require.NoError(t, err)
			got, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.True(t, string(want) == string(got), "%s differs", filepath.Base(path))
		}
	})
	t.Run("what it is made of", func(t *testing.T) { listsItsParts(t, dist, len(systems)-1) })
	t.Run("the package", func(t *testing.T) {
		found, err := filepath.Glob(filepath.Join(dist, "benchproof_*_"+runtime.GOARCH+".deb"))
		require.NoError(t, err)
		require.Len(t, found, 1)
		installsRunsAndGoes(t, first, found[0])
	})
}

// cloneOf is a clone of this repository with the files as they are here now.
func cloneOf(t *testing.T, name string) string {
	t.Helper()
	clone := filepath.Join(t.TempDir(), name)
	source := strings.TrimSpace(outputOf(t, ".", "git", "rev-parse", "--show-toplevel"))
	outputOf(t, source, "git", "clone", "--quiet", source, clone)
	changed := outputOf(t, source, "git", "diff", "--name-only", "-z", "HEAD")
	added := outputOf(t, source, "git", "ls-files", "-z", "--others", "--exclude-standard")
	for _, path := range strings.Split(changed+added, "\x00") {
		if path == "" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(source, path))
		if os.IsNotExist(err) {
			require.NoError(t, os.Remove(filepath.Join(clone, path)))
			continue
		}
		require.NoError(t, err)
		info, err := os.Stat(filepath.Join(source, path))
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(clone, path)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(clone, path), data, info.Mode()))
	}
	return clone
}

// outputOf runs a tool that must succeed.
func outputOf(t *testing.T, folder, tool string, args ...string) string {
	t.Helper()
	var talk strings.Builder
	cmd := exec.CommandContext(t.Context(), tool, args...)
	cmd.Dir, cmd.Stderr = folder, &talk
	out, err := cmd.Output()
	require.NoError(t, err, "%s %s\n%s%s", tool, strings.Join(args, " "), out, talk.String())
	return string(out)
}

// listsItsParts holds the list of parts of each program to the modules that the go command
// finds in it.
func listsItsParts(t *testing.T, dist string, tars int) {
	archives, err := filepath.Glob(filepath.Join(dist, "*.tar.gz"))
	require.NoError(t, err)
	require.Len(t, archives, tars)
	for _, archive := range archives {
		name := strings.TrimSuffix(archive, ".tar.gz")
		unpacked := t.TempDir()
		outputOf(t, unpacked, "tar", "-xzf", archive)
		want := map[string]string{}
		for line := range strings.Lines(outputOf(t, unpacked, "go", "version", "-m", filepath.Join(filepath.Base(name), "benchproof"))) {
			if f := strings.Fields(line); len(f) > 2 && f[0] == "dep" {
				want[f[1]] = f[2]
			}
		}
		var list struct {
			BomFormat  string
			Components []struct{ Name, Version string }
		}
		text, err := os.ReadFile(name + ".cdx.json")
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &list))
		assert.Equal(t, "CycloneDX", list.BomFormat)
		got := map[string]string{}
		for _, c := range list.Components {
			got[c.Name] = c.Version
		}
		require.Greater(t, len(want), 10)
		for module, version := range want {
			assert.Equal(t, version, got[module], module)
		}
	}
}

// asRoot runs a tool as root, which must be possible.
func asRoot(t *testing.T, tool string, args ...string) string {
	t.Helper()
	if os.Geteuid() == 0 {
		return outputOf(t, ".", tool, args...)
	}
	_, err := exec.LookPath("sudo")
	require.NoError(t, err, "the package is installed on this machine and removed again: be root, or install sudo")
	return outputOf(t, ".", "sudo", append([]string{"--non-interactive", tool}, args...)...)
}

// installed is what dpkg knows of the package: "" where it never was or was purged.
func installed() string {
	out, err := exec.Command("dpkg-query", "--show", "--showformat=${db:Status-Status}", "benchproof").Output()
	if err != nil {
		return ""
	}
	return string(out)
}

// installsRunsAndGoes has the package on this very machine for a moment.
func installsRunsAndGoes(t *testing.T, clone, deb string) {
	require.Empty(t, installed(), "benchproof is installed on this machine: this test would replace and remove it")
	require.NoFileExists(t, program, "this test would replace and remove it")
	t.Cleanup(func() {
		if installed() != "" {
			asRoot(t, "dpkg", "--purge", "benchproof")
		}
	})
	// Machines made from small images leave manual pages out unless they are asked for.
	asRoot(t, "dpkg", "--path-include=/usr/*", "--install", deb)
	files := strings.Fields(outputOf(t, ".", "dpkg-query", "--listfiles", "benchproof"))
	for _, path := range files[1:] { // the first is /.
		_, err := os.Lstat(path)
		assert.NoError(t, err)
	}
	t.Run("program", func(t *testing.T) { runsInstalled(t, clone) })
	t.Run("unit", func(t *testing.T) {
		unit := "/usr/lib/systemd/system/benchproof@.service"
		text, err := os.ReadFile(unit)
		require.NoError(t, err)
		assert.Regexp(t, "(?m)^ExecStart="+program+" ", string(text))
		out, err := examine(t, "verify", "--man=no", unit)
		require.NoError(t, err, out)
		assert.Empty(t, out)
		assert.FileExists(t, "/usr/lib/udev/rules.d/70-benchproof.rules")
	})
	t.Run("manual", func(t *testing.T) {
		for _, page := range []string{"benchproof", "benchproof-watch", "benchproof-sheet-verify"} {
			path := "/usr/share/man/man1/" + page + ".1.gz"
			assert.Equal(t, path, strings.TrimSpace(outputOf(t, ".", "man", "--where", page)))
		}
		text := outputOf(t, ".", "man", "--local-file", "/usr/share/man/man1/benchproof-demo.1.gz")
		assert.Regexp(t, `(?m)^ {9}wing  `, text, "a list stays one")
	})
	t.Run("completions", func(t *testing.T) {
		file := "/usr/share/bash-completion/completions/benchproof"
		out := outputOf(t, ".", "bash", "-c", "source "+file+" && complete -p benchproof")
		assert.Contains(t, out, "__start_benchproof benchproof")
		assert.FileExists(t, "/usr/share/zsh/vendor-completions/_benchproof")
		assert.FileExists(t, "/usr/share/fish/vendor_completions.d/benchproof.fish")
	})
	asRoot(t, "dpkg", "--purge", "benchproof")
	assert.Empty(t, installed())
	for _, path := range files[1:] {
		if strings.Contains(path, "benchproof") {
			assert.NoFileExists(t, path)
			assert.NoDirExists(t, path)
		}
	}
}

// program is where the package, the unit and the guide have it.
const program = "/usr/bin/benchproof"

// runsInstalled has the installed program say which it is, and judge a session.
func runsInstalled(t *testing.T, clone string) {
	said := strings.Fields(outputOf(t, ".", program, "--version"))
	require.Len(t, said, 3)
	stamp := outputOf(t, ".", "go", "version", "-m", program)
	assert.Contains(t, stamp, "vcs.revision="+strings.TrimSpace(outputOf(t, clone, "git", "rev-parse", "HEAD")))
	assert.Contains(t, stamp, "mod\tbenchproof.example\t"+said[1])
	assert.Regexp(t, `^v\d`, said[1])
	assert.Equal(t, runtime.Version(), said[2])
	frozen := "../../testdata/corpus/reedwing-all-well"
	want, err := os.ReadFile(filepath.Join(frozen, corpusReplay))
	require.NoError(t, err)
	assert.Equal(t, string(want), outputOf(t, ".", program, "replay", frozen))
	assert.Contains(t, outputOf(t, ".", program, "guide", "service"), program)
}
