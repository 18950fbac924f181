package files_test

import (
	"errors"
	"io/fs"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
)

// refusal has a disk refuse the nth call of a sort from now on.
func refusal(d *filestest.Disk, op string, nth int) {
	d.Before = func(c filestest.Call) error {
		if c.Op == op {
			if nth--; nth == 0 {
				return errors.New("no")
			}
		}
		return nil
	}
}

func TestWhatADiskDroppedIsWrittenAgain(t *testing.T) {
	type of struct {
		*files.Appended
		disk *filestest.Disk
	}
	write := func(text string, fails bool) func(*testing.T, of) {
		return func(t *testing.T, f of) {
			_, err := f.Write([]byte(text))
			require.Equal(t, fails, err != nil)
		}
	}
	sync := func(fails bool) func(*testing.T, of) {
		return func(t *testing.T, f of) { require.Equal(t, fails, f.Sync() != nil) }
	}
	cut := func(size int64) func(*testing.T, of) {
		return func(t *testing.T, f of) { require.NoError(t, f.Truncate(size)) }
	}
	refuse := func(op string, nth int) func(*testing.T, of) {
		return func(_ *testing.T, f of) { refusal(f.disk, op, nth) }
	}
	for name, c := range map[string]struct {
		steps []func(*testing.T, of)
		want  string // on the disk, whatever the cut
	}{
		"all goes well": {[]func(*testing.T, of){write("one", false), sync(false), write("two", false), sync(false)}, "0onetwo"},
		"a sync fails":  {[]func(*testing.T, of){refuse("sync", 1), write("one", false), sync(true), sync(false)}, "0one"},
		"and more is written before the next": {
			[]func(*testing.T, of){refuse("sync", 1), write("one", false), sync(true), write("two", false), sync(false)}, "0onetwo",
		},
		"what was safe is not written again": {
			[]func(*testing.T, of){write("one", false), sync(false), refuse("sync", 1), write("two", false), sync(true), sync(false), sync(false)}, "0onetwo",
		},
		"the disk refuses it then": {
			[]func(*testing.T, of){refuse("sync", 1), write("one", false), sync(true), refuse("write", 1), write("two", true), sync(false)}, "0one",
		},
		"what was dropped is cut off": {
			[]func(*testing.T, of){refuse("sync", 1), write("one", false), sync(true), cut(2), write("two", false), sync(false)}, "0otwo",
		},
		"what was safe is cut off": {
			[]func(*testing.T, of){write("one", false), sync(false), refuse("sync", 1), cut(2), sync(true), write("two", false), sync(false)}, "0otwo",
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := filestest.New()
			d.Put("f", []byte("0"))
			f, err := d.Edit("f")
			require.NoError(t, err)
			a := of{files.NewAppended(f, 1), d}
			for _, step := range c.steps {
				step(t, a)
			}
			for seed := range uint64(10) {
				assert.Equal(t, c.want, string(d.PowerCut(rand.New(rand.NewPCG(seed, 1))).Content("f")))
			}
			assert.Equal(t, int64(len(c.want)), a.End())
			assert.True(t, d.Holds("f", a.File()))
			require.NoError(t, a.Close())
		})
	}
}

// What an earlier run wrote may be lost with the first failure, and with one that that run saw: who goes on writes
// it once more.
func TestWhatAnEarlierRunWroteIsWrittenAgain(t *testing.T) {
	for name, c := range map[string]struct{ before, behind int }{
		"no sync fails": {0, 0}, "the last of the earlier run": {1, 0}, "the first of this one": {0, 1}, "both": {1, 1}, "and more": {1, 3},
	} {
		t.Run(name, func(t *testing.T) {
			d := filestest.New()
			d.Put("f", []byte("0"))
			f, err := d.Edit("f")
			require.NoError(t, err)
			_, err = f.WriteAt([]byte("one"), 1)
			require.NoError(t, err)
			for range c.before {
				refusal(d, "sync", 1)
				require.Error(t, f.Sync())
			}
			a, err := files.ContinueAppended(f, 4, 1)
			require.NoError(t, err)
			for range c.behind {
				refusal(d, "sync", 1)
				require.Error(t, a.Sync())
			}
			_, err = a.Write([]byte("two"))
			require.NoError(t, err)
			require.NoError(t, a.Sync())
			for seed := range uint64(10) {
				assert.Equal(t, "0onetwo", string(d.PowerCut(rand.New(rand.NewPCG(seed, 1))).Content("f")))
			}
		})
	}
}

// It is written once more at the opening: a write that meets the first sync is not refused.
func TestWhatAnEarlierRunWroteIsInNobodysWay(t *testing.T) {
	d := filestest.New()
	d.Put("f", []byte("0one"))
	f, err := d.Edit("f")
	require.NoError(t, err)
	a, err := files.ContinueAppended(f, 4, 1)
	require.NoError(t, err)
	met := false
	d.Before = func(c filestest.Call) error {
		if !met {
			met = true
			_, err := a.Write([]byte("two"))
			assert.NoError(t, err, "beside %s", c.Op)
		}
		return nil
	}
	require.NoError(t, a.Sync())
	assert.True(t, met)
}

// What comes while a sync is under way is not part of it.
func TestWhatIsWrittenDuringASyncIsHeldOn(t *testing.T) {
	d := filestest.New()
	f, err := d.Create("f")
	require.NoError(t, err)
	require.NoError(t, d.Sync())
	a := files.NewAppended(f, 0)
	_, err = a.Write([]byte("one"))
	require.NoError(t, err)
	once := false
	d.Lies = func(c filestest.Call) bool { // the kernel's pass is over: what comes now it leaves
		if c.Op == "sync" && !once {
			once = true
			_, err := a.Write([]byte("two"))
			assert.NoError(t, err)
		}
		return false
	}
	require.NoError(t, a.Sync())
	refusal(d, "sync", 1)
	require.Error(t, a.Sync())
	require.NoError(t, a.Sync())
	assert.Equal(t, "onetwo", string(d.PowerCut(rand.New(rand.NewPCG(1, 1))).Content("f")))
}

// A disk that confirms nothing takes no more than can be held.
func TestWhatIsHeldIsBounded(t *testing.T) {
	d := filestest.New()
	f, err := d.Create("f")
	require.NoError(t, err)
	a := files.NewAppended(f, 0)
	d.Before = func(c filestest.Call) error {
		if c.Op == "sync" {
			return errors.New("no")
		}
		return nil
	}
	part, wrote := make([]byte, 1<<20), 0
	for err = nil; err == nil; wrote++ {
		require.Error(t, a.Sync())
		require.LessOrEqual(t, wrote, 16)
		_, err = a.Write(part)
	}
	require.ErrorContains(t, err, "has confirmed none of the last 16777216 bytes")
	d.Before = nil
	require.NoError(t, a.Sync())
	_, err = a.Write(part)
	require.NoError(t, err)
	_, err = a.WriteAt(part, 3)
	require.ErrorIs(t, err, fs.ErrInvalid, "but at its end")
}
