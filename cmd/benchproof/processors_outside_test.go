//go:build outside

package main

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/cpu"
)

// Sessions are judged alike by processors that fuse products into sums: amd64 from its
// third level on (as the x86-64 psABI names it), and arm64, emulated by QEMU. The first,
// for which all has to be compiled anew, has its turn in make long.
func TestTheCorpusOnOtherProcessors(t *testing.T) {
	type processor struct {
		name, under string // under: the emulator, "" for none
		env         []string
	}
	processors := []processor{{"arm64", "qemu-aarch64", []string{"GOARCH=arm64"}}}
	if os.Getenv("BENCHPROOF_SOAK") != "" {
		fuses := runtime.GOARCH == "amd64" && cpu.X86.HasFMA && cpu.X86.HasAVX2 && cpu.X86.HasBMI2
		processors = append(processors, processor{"amd64 v3", map[bool]string{false: "qemu-x86_64"}[fuses], []string{"GOARCH=amd64", "GOAMD64=v3"}})
	}
	for _, x := range processors {
		t.Run(x.name, func(t *testing.T) {
			program := filepath.Join(t.TempDir(), "benchproof")
			build := exec.CommandContext(t.Context(), "go", "build", "-trimpath", "-o", program, ".")
			build.Env = append(append(os.Environ(), "CGO_ENABLED=0"), x.env...)
			out, err := build.CombinedOutput()
			require.NoError(t, err, string(out))
			for _, frozen := range slices.Concat(slices.Collect(maps.Values(corpusOf(t)))...) {
				want, err := os.ReadFile(filepath.Join(frozen, corpusReplay))
				require.NoError(t, err)
				args := []string{program, "replay", frozen}
				if x.under != "" {
					args = append([]string{x.under}, args...)
				}
				got, _ := exec.CommandContext(t.Context(), args[0], args[1:]...).Output() // its code says what was seen
				assert.Equal(t, string(want), string(got), frozen)
			}
		})
	}
}
