package filestest_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
)

// written is a disk to which a program did things: it syncs files and folder now and then.
func written(t *testing.T, luck *rand.Rand) *filestest.Disk {
	d := filestest.New()
	names := []string{"a", "b", "c"}
	for range 4 + luck.IntN(20) {
		name := names[luck.IntN(len(names))]
		var err error
		switch luck.IntN(9) {
		case 0:
			if d.Content(name) != nil {
				err = d.Rename(name, names[luck.IntN(len(names))])
			}
		case 1:
			err = d.Sync()
		case 2:
			err = inFile(t, d, name).Truncate(luck.Int64N(6000))
		case 3:
			err = inFile(t, d, name).Sync()
		default:
			data := make([]byte, 1+luck.IntN(6000))
			for i := range data {
				data[i] = byte(1 + luck.IntN(255))
			}
			_, err = inFile(t, d, name).WriteAt(data, luck.Int64N(6000))
		}
		require.NoError(t, err)
	}
	return d
}

func inFile(t *testing.T, d *filestest.Disk, name string) files.File {
	f, err := d.Edit(name)
	require.NoError(t, err)
	return f
}

func imageOf(t *testing.T, d *filestest.Disk) map[string][]byte {
	names, err := d.Names()
	require.NoError(t, err)
	image := map[string][]byte{}
	for _, name := range names {
		image[name] = d.Content(name)
	}
	return image
}

// What a power cut may leave is allowed, and with one byte more, less or another it is not, but for
// what another cut could have left.
func TestAllowsWhatAPowerCutLeaves(t *testing.T) {
	refused := 0
	for seed := range uint64(300) {
		luck := rand.New(rand.NewPCG(seed, 7))
		d := written(t, luck)
		image := imageOf(t, d.AnyPowerCut(luck))
		require.NoError(t, d.Allows(image), "seed %d", seed)
		require.NoError(t, d.Allows(imageOf(t, d.Copy())), "seed %d: all of it", seed)
		for name, data := range image {
			image[name] = append(data[:len(data):len(data)], 7)
			if d.Allows(image) != nil {
				refused++
			}
			image[name] = data
		}
	}
	assert.Greater(t, refused, 250)
}

// What no power cut leaves is said.
func TestAllowsNothingElse(t *testing.T) {
	d := filestest.New()
	d.Put("safe", []byte("abc"))
	f := inFile(t, d, "new")
	_, err := f.Write([]byte("12345"))
	require.NoError(t, err)
	require.NoError(t, f.Sync())
	_, err = f.Write([]byte("678"))
	require.NoError(t, err)
	for _, c := range []struct {
		why     string
		image   map[string][]byte
		allowed bool
	}{
		{"nothing of it", map[string][]byte{"safe": []byte("abc")}, true},
		{"what was synced", map[string][]byte{"safe": []byte("abc"), "new": []byte("12345")}, true},
		{"a torn write", map[string][]byte{"safe": []byte("abc"), "new": []byte("1234567")}, true},
		{"all of it", map[string][]byte{"safe": []byte("abc"), "new": []byte("12345678")}, true},
		{"less than was synced", map[string][]byte{"safe": []byte("abc"), "new": []byte("1234")}, false},
		{"another byte", map[string][]byte{"safe": []byte("abc"), "new": []byte("12340")}, false},
		{"zeros that were never written", map[string][]byte{"safe": []byte("abc"), "new": []byte("12345\x00")}, false},
		{"a safe file without its end", map[string][]byte{"safe": []byte("ab")}, false},
		{"a name that is lost", map[string][]byte{"new": []byte("12345")}, false},
		{"a name that never was", map[string][]byte{"safe": []byte("abc"), "other": nil}, false},
	} {
		err := d.Allows(c.image)
		assert.Equal(t, c.allowed, err == nil, "%s: %v", c.why, err)
	}
	require.NoError(t, f.Truncate(2))
	assert.NoError(t, d.Allows(map[string][]byte{"safe": []byte("abc"), "new": []byte("12")}))
	assert.NoError(t, d.Allows(map[string][]byte{"safe": []byte("abc"), "new": []byte("12\x00\x00\x00")}), "zeroed, and not cut short yet")
	assert.Error(t, d.Allows(map[string][]byte{"safe": []byte("abc"), "new": []byte("12\x00")}))
}
