//go:build mutants

package monitor_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// unoptimised is how everything of ours is compiled: optimising takes longer than
// it saves here, and without it what others see of a package stays the same.
const unoptimised = "-gcflags=benchproof.example/...=-N -l"

// lab builds and runs test binaries of the module at root, with one source file
// changed.
//
// The go command compiles all that depends on a changed package anew. So the lab
// asks it once for the parts of a binary, compiles the changed package alone and
// links it in their midst. The linker refuses what does not fit together; then the
// go command builds the binary after all.
type lab struct {
	root string
	lock sync.Mutex
	once map[any]*sync.Once
	kits map[string]kit     // by package of the tests
	sick map[testSet]string // what tests say that fail on the source as it is
}

// kit is what a test binary is made of, by import path.
type kit map[string]part

// part is a compiled package, as go list describes it.
type part struct {
	ImportPath, Dir, Export string
	GoFiles, EmbedFiles     []string
	Module                  *struct{ GoVersion string }
}

func newLab(root string) *lab {
	return &lab{root: root, once: map[any]*sync.Once{}, kits: map[string]kit{}, sick: map[testSet]string{}}
}

// first does work unless it was done before for the same thing.
func (l *lab) first(thing any, work func()) {
	l.lock.Lock()
	once := l.once[thing]
	if once == nil {
		once = &sync.Once{}
		l.once[thing] = once
	}
	l.lock.Unlock()
	once.Do(work)
}

// pass makes sure that tests pass on the source as it is.
func (l *lab) pass(t *testing.T, tests testSet) {
	l.first(tests, func() {
		if out, failed := l.run(t, tests, l.byGo(t, tests.Package, "")); failed {
			l.lock.Lock()
			defer l.lock.Unlock()
			l.sick[tests] = out
		}
	})
	l.lock.Lock()
	defer l.lock.Unlock()
	require.Empty(t, l.sick[tests], "%s of %s fails without a mutant", tests.Run, tests.Package)
}

// build makes the test binary of a package with other text in a source file.
func (l *lab) build(t *testing.T, of, source string, text []byte) (binary string) {
	instead := filepath.Join(t.TempDir(), filepath.Base(source))
	require.NoError(t, os.WriteFile(instead, text, 0o600))
	k := l.kit(t, of)
	for path, p := range k {
		if p.Dir == filepath.Dir(source) && slices.Contains(p.GoFiles, filepath.Base(source)) && len(p.EmbedFiles) == 0 {
			if binary, fits := l.assemble(t, k, path, of, source, instead); fits {
				return binary
			}
		}
	}
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {source: instead}})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(instead+".json", overlay, 0o600))
	return l.byGo(t, of, instead+".json")
}

// byGo lets the go command build a test binary.
func (l *lab) byGo(t *testing.T, of, overlay string) (binary string) {
	binary = filepath.Join(t.TempDir(), "go.test")
	out, err := l.command(t, "go", "test", "-c", "-p=1", "-vet=off", unoptimised, "-ldflags=-s -w", "-overlay="+overlay, "-o", binary, of)
	require.NoError(t, err, "does not build: %s", out)
	return binary
}

func (l *lab) kit(t *testing.T, of string) kit {
	l.first(of, func() {
		list, err := l.command(t, "go", "list", "-test", "-deps", "-export", "-json=ImportPath,Dir,Export,GoFiles,EmbedFiles,Module", unoptimised, of)
		require.NoError(t, err, list)
		k := kit{}
		for parts := json.NewDecoder(strings.NewReader(list)); parts.More(); {
			var p part
			require.NoError(t, parts.Decode(&p))
			path, _, forTests := strings.Cut(p.ImportPath, " ") // "a/b [a/b.test]" takes the place of "a/b"
			if _, have := k[path]; !have || forTests {
				k[path] = p
			}
		}
		l.lock.Lock()
		defer l.lock.Unlock()
		l.kits[of] = k
	})
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.kits[of]
}

// assemble compiles the package at path with one file read elsewhere and links the
// test binary. It reports whether the parts fit.
func (l *lab) assemble(t *testing.T, k kit, path, of, source, instead string) (binary string, fits bool) {
	p, archive, config, main := k[path], instead+".a", instead+".cfg", ""
	var list strings.Builder
	for other, q := range k {
		export := q.Export
		if other == path {
			export = archive
		}
		if filepath.Join(l.root, of) == q.Dir && strings.HasSuffix(other, ".test") {
			main = export
		}
		if export != "" {
			fmt.Fprintf(&list, "packagefile %s=%s\n", other, export)
		}
	}
	require.NoError(t, os.WriteFile(config, []byte(list.String()), 0o600))
	files := []string{}
	for _, name := range p.GoFiles {
		if file := filepath.Join(p.Dir, name); file == source {
			files = append(files, instead)
		} else {
			files = append(files, file)
		}
	}
	version := strings.Split(p.Module.GoVersion, ".")
	out, err := l.command(t, "go", append([]string{
		"tool", "compile", "-o", archive, "-p", path, "-lang=go" + version[0] + "." + version[1], "-N", "-l", "-c=1", "-complete",
		"-trimpath=" + instead + "=>" + source, "-importcfg", config, "-pack",
	}, files...)...)
	require.NoError(t, err, "does not compile: %s", out)
	binary = instead + ".test"
	out, err = l.command(t, "go", "tool", "link", "-o", binary, "-importcfg", config, "-s", "-w", "-buildmode=exe", main)
	require.True(t, err == nil || strings.Contains(out, "fingerprint mismatch"), "does not link: %s", out)
	return binary, err == nil
}

// run runs tests and reports whether one failed.
func (l *lab) run(t *testing.T, tests testSet, binary string) (out string, failed bool) {
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	run := exec.CommandContext(ctx, binary, "-test.failfast", "-test.timeout=60s", "-test.run="+tests.Run)
	run.Dir = filepath.Join(l.root, tests.Package)
	said, err := run.CombinedOutput()
	require.NoError(t, os.Remove(binary))
	out = string(said)
	require.NotContains(t, out, "no tests to run")
	require.NotContains(t, out, "test timed out", "a slow machine kills no mutant")
	if err != nil {
		require.Contains(t, out, "--- FAIL")
	}
	return out, err != nil
}

// command runs a tool at the root; without cgo, so that it links faster.
func (l *lab) command(t *testing.T, name string, args ...string) (string, error) {
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Dir, cmd.Env = l.root, append(os.Environ(), "CGO_ENABLED=0")
	out, err := cmd.CombinedOutput()
	return string(out), err
}
