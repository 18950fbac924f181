//go:build outside

package board_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
)

// built is where the simulation and the firmwares are: one as it is, and one whose
// clock and numbers go round after a second.
var built string

const (
	asItIs = "board.elf"
	late   = "late/board.elf"
)

func TestMain(m *testing.M) { os.Exit(build(m)) }

func build(m *testing.M) int {
	dir, err := os.MkdirTemp("", "board")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() { _ = os.RemoveAll(dir) }()
	for _, args := range [][]string{
		{"all", "OUT=" + dir},
		{"firmware", "OUT=" + dir + "/late", "DEFINES=-DFIRST_ROUND=0xFFE0u -DFIRST_SEQ=0xFF00u"},
	} {
		if out, err := exec.Command("make", args...).CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "make %v: %v\n%s", args, err, out)
			return 1
		}
	}
	built = dir
	return m.Run()
}

// sent is a pulse that the bench drives.
type sent struct {
	output      int
	rise, width int64 // ns since the board was powered
}

// bench is what happens to the inputs.
type bench struct {
	pulses []sent
	extra  []event // that make no pulse of pulses
}

type event struct {
	at   int64
	what string
}

// The first pulse ties the board's clock to ours. It stands alone.
const first = 2_000_000

func newBench() *bench { return new(bench).pulse(1, first, 1_500_000) }

func (b *bench) pulse(output int, rise, width int64) *bench {
	b.pulses = append(b.pulses, sent{output, rise, width})
	return b
}

// blip is a level that lasts too short to be one.
func (b *bench) blip(output int, at, lasts int64, high int) *bench {
	b.extra = append(b.extra, event{at, fmt.Sprintf("%d %d", output, high)}, event{at + lasts, fmt.Sprintf("%d %d", output, 1-high)})
	return b
}

func (b *bench) event(at int64, what string) *bench {
	b.extra = append(b.extra, event{at, what})
	return b
}

// stimulus is what the simulation reads.
func (b *bench) stimulus() string {
	all := slices.Clone(b.extra)
	for _, p := range b.pulses {
		all = append(all, event{p.rise, fmt.Sprintf("%d 1", p.output)}, event{p.rise + p.width, fmt.Sprintf("%d 0", p.output)})
	}
	slices.SortStableFunc(all, func(x, y event) int { return int(x.at - y.at) })
	var text strings.Builder
	for _, e := range all {
		fmt.Fprintf(&text, "%d %s\n", e.at, e.what)
	}
	return text.String()
}

func (b *bench) file(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "stimulus")
	require.NoError(t, os.WriteFile(file, []byte(b.stimulus()), 0o600))
	return file
}

// run lets a firmware print what it has to say, and decodes it.
func (b *bench) run(t *testing.T, firmware string) ([]pulse.Pulse, pulse.Account) {
	t.Helper()
	tool := exec.Command(filepath.Join(built, "board-sim"), filepath.Join(built, firmware), b.file(t))
	var talk bytes.Buffer
	tool.Stderr = &talk
	printed, err := tool.Output()
	require.NoError(t, err, talk.String())
	var lines pulse.BoardDecoder
	var got []pulse.Pulse
	lines.Feed(printed, false, func(p *pulse.Pulse) { got = append(got, *p) })
	require.Zero(t, lines.Pending())
	return got, lines.Account()
}

// figures are how far off the board was, ns.
type figures struct {
	close  int   // pulses whose width is off by a tick and a half at most
	spread int64 // between the edge reported earliest and that reported latest: what a clock that is tied to ours leaves
	width  int64 // the worst width
}

// compare finds what was sent for each pulse that the board describes. None may be
// reported that was not sent, and none twice.
func (b *bench) compare(t *testing.T, got []pulse.Pulse) (f figures) {
	t.Helper()
	require.NotEmpty(t, got)
	used := make([]bool, len(b.pulses))
	var offset, early, late int64
	for n, p := range got {
		if n == 0 || got[n-1].Epoch != p.Epoch {
			offset = p.Rise - b.alike(&p).rise
		}
		at := p.Rise - offset
		i := slices.IndexFunc(b.pulses, func(s sent) bool { return s.output == p.Output && abs(at-s.rise) < 200_000 })
		require.GreaterOrEqual(t, i, 0, "nothing was sent like %+v, at %d", p, at)
		require.False(t, used[i], "%+v was told before", p)
		used[i] = true
		rise, off := at-b.pulses[i].rise, p.Width-b.pulses[i].width
		early, late, f.width = min(early, rise, rise+off), max(late, rise, rise+off), max(f.width, abs(off))
		if abs(off) <= 750 {
			f.close++
		}
	}
	f.spread = late - early
	t.Logf("%d pulses, edges within %d ns, widths off by %d ns at worst, %d of them by less than 0.75 µs", len(got), f.spread, f.width, f.close)
	return f
}

// alike is the pulse of an output whose width is nearest.
func (b *bench) alike(p *pulse.Pulse) sent {
	return slices.MinFunc(b.pulses, func(x, y sent) int {
		return int(unlike(p, x) - unlike(p, y))
	})
}

func unlike(p *pulse.Pulse, s sent) int64 {
	if s.output != p.Output {
		return 1 << 40
	}
	return abs(p.Width - s.width)
}

func abs(v int64) int64 { return max(v, -v) }
