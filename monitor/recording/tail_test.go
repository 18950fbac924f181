package recording_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"slices"
	"testing"

	"github.com/gopacket/gopacket/pcapgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

// The file is cut at every byte of its last 300, and further tails are filled
// with zeros. Everything whole comes back, nothing else; after Repair a new
// section reads on.
func TestTornTail(t *testing.T) {
	inputs := steady(12)
	file := write(t, section(0), inputs)
	ends := borders(t, section(0), inputs)
	for _, zeros := range []int{0, 1, 3, 4096} {
		for at := len(file) - 300; at <= len(file); at++ {
			torn := append(bytes.Clone(file[:at]), make([]byte, zeros)...)
			whole := wholeInputs(ends, int64(alike(torn, file)))
			tornAtBorder(t, torn, inputs, whole, ends[whole])
		}
	}
}

// alike is how many bytes from the start are the same: zeros may restore some.
func alike(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// wholeInputs is how many inputs end at or before the byte.
func wholeInputs(ends []int64, at int64) int {
	n := len(ends) - 1
	for ends[n] > at {
		n--
	}
	return n
}

const name = "recording.pcapng"

func tornAtBorder(t *testing.T, torn []byte, inputs []event.Input, whole int, good int64) {
	got, r := read(t, torn)
	require.Equal(t, inputs[:whole], got)
	require.Zero(t, r.DamageCount())
	end, is := r.Tail()
	require.Equal(t, good, end)
	require.Equal(t, good < int64(len(torn)), is)
	if len(torn)%16 != 0 { // files are slow
		return
	}
	d := filestest.New()
	d.Put(name, torn)
	done, err := recording.Repair(t.Context(), d)
	require.NoError(t, err)
	requireRepaired(t, d, done, torn, good)
	require.Equal(t, int64(whole), done.Inputs)
	require.Equal(t, inputs[whole-1].At, done.Last)
	require.Equal(t, base, done.Base)

	next := section(done.Inputs)
	next.Base += 5000
	got, r = read(t, append(d.Content(name), write(t, next, inputs[whole:])...))
	require.Equal(t, inputs, got)
	require.Zero(t, r.DamageCount())
}

func requireRepaired(t *testing.T, d *filestest.Disk, done recording.Repaired, torn []byte, good int64) {
	require.Equal(t, torn[:good], d.Content(name))
	require.Equal(t, good, done.Good)
	require.Equal(t, int64(len(torn))-good, done.Cut)
	if done.Cut == 0 {
		require.Empty(t, done.Aside)
		return
	}
	require.Equal(t, torn[good:], d.Content(done.Aside))
}

// A tail torn before Repair existed, with a section appended to it as it was:
// then it is damage in the middle, and what follows comes back.
func TestSectionAppendedToTornTail(t *testing.T) {
	inputs := steady(12)
	front := write(t, section(0), inputs[:6])
	for cut := 1; cut < 60; cut++ {
		file := append(bytes.Clone(front[:len(front)-cut]), write(t, section(6), inputs[6:])...)
		got, r := read(t, file)
		require.Len(t, got, 12)
		require.Equal(t, int64(1), gapOf(t, got[5]).Inputs)
		require.Equal(t, inputs[:5], got[:5])
		require.Equal(t, inputs[6:], got[6:])
		require.Equal(t, int64(1), r.DamageCount())
	}
}

func TestRepairKeepsDamageInTheMiddle(t *testing.T) {
	inputs := steady(12)
	file := write(t, section(0), inputs)
	ends := borders(t, section(0), inputs)
	file[ends[4]+40] ^= 1
	torn := append(bytes.Clone(file), file[ends[3]:ends[4]-2]...)
	d := filestest.New()
	d.Put(name, torn)
	for range 2 {
		done, err := recording.Repair(t.Context(), d)
		require.NoError(t, err)
		requireRepaired(t, d, done, torn, int64(len(file)))
		require.Equal(t, int64(12), done.Inputs)
		require.Equal(t, []recording.Damage{{Offset: ends[4], Why: "packet hash differs"}}, done.Damages)
		d.Put(name, torn)
	}
	left, err := d.Names()
	require.NoError(t, err)
	assert.Len(t, left, 3, "the second tail at one place is kept beside the first")
}

func TestEmptyAndTornFromTheStart(t *testing.T) {
	file := write(t, section(0), nil)
	zeros := make([]byte, 5000)
	for _, torn := range [][]byte{{}, file[:1], file[:3], file[:11], file[:40], zeros, zeros[:2],
		slices.Concat(file[:1], zeros), slices.Concat(file[:3], zeros[:9]), slices.Concat(file[:4], zeros), slices.Concat(file[:40], zeros)} {
		got, r := read(t, torn)
		assert.Empty(t, got)
		end, is := r.Tail()
		assert.Zero(t, end)
		assert.Equal(t, len(torn) > 0, is)
	}
}

// A power cut may leave of the first write its beginning and its end, and zeros between: that is no other program's file.
func TestAHeaderTornBeforeWholeBlocks(t *testing.T) {
	file := write(t, section(0), steady(9))
	length := int(binary.LittleEndian.Uint32(file[4:]))
	packet := length // the first: what stands before says whose the packets are
	for binary.LittleEndian.Uint32(file[packet:]) != 6 {
		packet += int(binary.LittleEndian.Uint32(file[packet+4:]))
	}
	for _, kept := range []int{0, 3, 24, 27, 30, 38, 60, length - 8} {
		torn := slices.Concat(file[:kept], make([]byte, packet-kept), file[packet:])
		got, _ := read(t, torn)
		require.Len(t, got, 1, "%d bytes of the header", kept)
		assert.Equal(t, event.InputRecordingGap, got[0].Kind)
		d := filestest.New()
		d.Put(name, torn)
		done, err := recording.Repair(t.Context(), d)
		require.NoError(t, err, kept)
		assert.Empty(t, done.Session)
		assert.Zero(t, done.Good, "what begins here is another session")
		assert.EqualValues(t, len(torn), done.Cut)
	}
}

func TestOtherFilesAreRefusedAndLeftAlone(t *testing.T) {
	ours := write(t, section(0), steady(3))
	swapped := slices.Clone(ours[:28])
	copy(swapped[4:], []byte{0, 0, 0, 28, 0x1A, 0x2B, 0x3C, 0x4D})
	copy(swapped[24:], []byte{0, 0, 0, 28})
	bare := []byte{10, 13, 13, 10, 28, 0, 0, 0, 0x4D, 0x3C, 0x2B, 0x1A, 1, 0, 0, 0, 255, 255, 255, 255, 255, 255, 255, 255, 28, 0, 0, 0}
	for want, file := range map[string][]byte{
		"big-endian byte order":          append(swapped, make([]byte, 100)...),
		"that another program wrote":     append(bare, 1, 2, 3),
		`that "somebody1" wrote`:         foreign(ours),
		"older pcap format":              append([]byte{0xD4, 0xC3, 0xB2, 0xA1}, make([]byte, 200)...),
		"it begins with the bytes 0f 00": append([]byte{0x0F}, make([]byte, 200)...),
		"it begins with the bytes 68 65": []byte("hello"),
	} {
		_, err := drain(recording.NewReader(bytes.NewReader(file)))
		require.ErrorIs(t, err, recording.ErrNotRecording, want)
		assert.ErrorContains(t, err, want)

		d := filestest.New()
		d.Put(name, file)
		_, err = recording.Repair(t.Context(), d)
		require.ErrorIs(t, err, recording.ErrNotRecording)
		assert.Equal(t, file, d.Content(name))
	}
}

// foreign is a capture of another program, of the same shape as ours.
func foreign(ours []byte) []byte {
	b := bytes.ReplaceAll(ours, []byte("benchproof"), []byte("somebody1\x00"))
	b = bytes.ReplaceAll(b, []byte("base_ns"), []byte("basic_n"))
	at := bytes.Index(b, []byte("somebody1"))
	b[at-2] = 9
	return b
}

func TestNewerFormatIsRefused(t *testing.T) {
	file := sealedAnew(t, write(t, section(0), steady(3)))
	_, err := drain(recording.NewReader(bytes.NewReader(file)))
	require.ErrorIs(t, err, recording.ErrNewer)
	assert.ErrorContains(t, err, "its format is 4, this program reads 1 to 3")
}

// Builds of format 1 read the first comment of each section and refuse one that says more
// than 1: so each part of format 2 has to begin with one that they can read.
func TestBuildsOfFormatOneRefuseFormatTwo(t *testing.T) {
	d := closed(t, steady(300), 100)
	require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
	whole, _ := exported(t, d, recording.Span{})
	for name, file := range map[string][]byte{
		"open": d.Content(recording.OpenName), "closed": d.Content("recording-000002.pcapng"),
		"packed": unzstd(t, d.Content("recording-000001.pcapng.zst")), "exported": whole,
	} {
		r, err := pcapgo.NewNgReader(bytes.NewReader(file), pcapgo.NgReaderOptions{WantMixedLinkType: true})
		require.NoError(t, err, name)
		object, err := crclog.Check([]byte(r.SectionInfo().Comment))
		require.NoError(t, err, name)
		var ofFormat1 struct {
			Recording int    `json:"recording"`
			Base      int64  `json:"base_ns"`
			First     int64  `json:"first"`
			Build     string `json:"build"`
		}
		require.NoError(t, json.Unmarshal(object, &ofFormat1), name)
		assert.Greater(t, ofFormat1.Recording, 1, name)
		assert.Equal(t, base, ofFormat1.Base, name)
	}
}
