package recording_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

const session = "00112233445566778899aabbccddeeff"

// segment is a section of format 2.
func segment(number int, first int64) recording.Section {
	s := section(first)
	s.Session, s.Segment = session, number
	return s
}

// closed lays inputs on a disk as so many closed segments and the open one.
func closed(t testing.TB, inputs []event.Input, each int) *filestest.Disk {
	d := filestest.New()
	number := 1
	for first := 0; first < len(inputs); first += each {
		some := inputs[first:min(first+each, len(inputs))]
		text := write(t, segment(number, int64(first)), some)
		if first+each < len(inputs) {
			d.Put(fmt.Sprintf("recording-%06d.pcapng", number), text)
		} else {
			d.Put(recording.OpenName, text)
		}
		number++
	}
	return d
}

func readAll(t testing.TB, d *filestest.Disk) ([]event.Input, *recording.SegmentReader) {
	r, err := recording.OpenSegments(d)
	require.NoError(t, err)
	list, err := drain(&r.Reader)
	require.ErrorIs(t, err, io.EOF)
	require.NoError(t, r.Close())
	return list, r
}

func names(t testing.TB, d *filestest.Disk) []string {
	list, err := d.Names()
	require.NoError(t, err)
	return list
}

func TestSegmentsAreReadAsOne(t *testing.T) {
	inputs := append(every(t), later(steady(500), every(t))...)
	for _, each := range []int{1, 7, 100, 1000} {
		d := closed(t, inputs, each)
		got, r := readAll(t, d)
		require.Equal(t, inputs, got)
		require.Zero(t, r.DamageCount())
		for n := 1; n < (len(inputs)+each-1)/each; n++ {
			require.NoError(t, recording.Pack(t.Context(), d, n, nil))
			if n == 1 {
				assert.Contains(t, names(t, d), "recording-000001.pcapng.zst")
				assert.NotContains(t, names(t, d), "recording-000001.pcapng")
			}
		}
		got, r = readAll(t, d)
		require.Equal(t, inputs, got, "packed")
		require.Zero(t, r.DamageCount())
	}
}

// later moves inputs behind others.
func later(inputs, behind []event.Input) []event.Input {
	end := unit.Duration(behind[len(behind)-1].At)
	for i := range inputs {
		inputs[i].At = inputs[i].At.Add(end)
	}
	return inputs
}

func TestNoSegmentIsNoRecording(t *testing.T) {
	_, err := recording.OpenSegments(filestest.New())
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// A segment that is lacking, stands in for another or came from another session is no
// silence: it is a gap with a reason.
func TestWhatIsDoneToSegmentsIsTold(t *testing.T) {
	inputs := steady(400)
	another := closed(t, steady(400), 100)
	foreign := bytes.ReplaceAll(another.Content("recording-000002.pcapng"), []byte(session), []byte(strings.Repeat("f", 32)))
	foreign = sealedAgain(t, foreign)
	for name, c := range map[string]struct {
		do   func(t *testing.T, d *filestest.Disk)
		left int
		says string
	}{
		"deleted":   {func(t *testing.T, d *filestest.Disk) { require.NoError(t, d.Remove("recording-000002.pcapng")) }, 300, "input number jumps"},
		"the first": {func(t *testing.T, d *filestest.Disk) { require.NoError(t, d.Remove("recording-000001.pcapng")) }, 300, ""},
		"cut": {func(_ *testing.T, d *filestest.Disk) {
			d.Put("recording-000002.pcapng", d.Content("recording-000002.pcapng")[:5000])
		}, -1, "block cut short"},
		"empty":     {func(_ *testing.T, d *filestest.Disk) { d.Put("recording-000002.pcapng", nil) }, 300, "input number jumps"},
		"another's": {func(_ *testing.T, d *filestest.Disk) { d.Put("recording-000002.pcapng", foreign) }, 300, "part of another session"},
		"one twice": {func(_ *testing.T, d *filestest.Disk) {
			d.Put("recording-000003.pcapng", d.Content("recording-000002.pcapng"))
		}, 300, "goes back"},
		"some other file": {func(_ *testing.T, d *filestest.Disk) {
			d.Put("recording-000002.pcapng", bytes.Repeat([]byte("hello"), 100))
		}, 300, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := closed(t, inputs, 100)
			c.do(t, d)
			got, r := readAll(t, d)
			kept := slices.DeleteFunc(got, func(in event.Input) bool { return in.Kind == event.InputRecordingGap })
			if c.left >= 0 {
				assert.Len(t, kept, c.left)
			}
			assert.Subset(t, asText(inputs), asText(kept), "nothing is made up")
			if name == "the first" {
				assert.Equal(t, int64(100), r.Position().Input-300, "what is lacking before the first shows by its number")
				return
			}
			require.NotEmpty(t, r.Damages())
			assert.Contains(t, r.Damages()[0].Why, c.says)
			assert.Contains(t, r.Damages()[0].File, "recording-00000")
		})
	}
}

func asText(inputs []event.Input) (list []string) {
	for i := range inputs {
		b, _ := json.Marshal(inputs[i])
		list = append(list, string(b))
	}
	return list
}

// A packed segment that is hurt or cut short is named, and what it lacks is a gap; by itself
// too.
func TestAPackedSegmentThatIsHurtIsTold(t *testing.T) {
	inputs := steady(20_000)
	d := closed(t, inputs, 9_000)
	require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
	const name = "recording-000001.pcapng.zst"
	whole := d.Content(name)
	for at := 40; at < len(whole); at += 101 {
		flipped, cut := bytes.Clone(whole), bytes.Clone(whole[:at])
		flipped[at] ^= 1
		for _, hurt := range [][]byte{flipped, cut} {
			d.Put(name, hurt)
			got, r := readAll(t, d)
			require.NotEmpty(t, r.Damages(), "%d of %d", at, len(whole))
			require.Equal(t, name, r.Damages()[0].File)
			kept := slices.DeleteFunc(got, func(in event.Input) bool { return in.Kind == event.InputRecordingGap })
			require.GreaterOrEqual(t, len(kept), 11_000)
			require.Equal(t, inputs[9_000:], kept[len(kept)-11_000:])
			require.Equal(t, inputs[:len(kept)-11_000], kept[:len(kept)-11_000])

			f, err := d.Open(name)
			require.NoError(t, err)
			alone, _, err := recording.OpenFile(f, name)
			require.NoError(t, err)
			by := recording.NewReader(alone)
			list := all(t, by)
			if _, torn := by.Tail(); !torn {
				require.NotEmpty(t, by.Damages())
				gapOf(t, list[len(list)-1])
			}
			require.NoError(t, alone.Close())
		}
	}
}

// No flipped bit of what a packed segment unpacks to yields another input.
func TestAFlippedBitInABundleYieldsNoOtherInput(t *testing.T) {
	inputs := append(every(t), later(steady(20), every(t))...)
	d := closed(t, inputs, len(inputs)-1)
	require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
	plain := unzstd(t, d.Content("recording-000001.pcapng.zst"))
	want := asText(inputs)
	for at := range len(plain) * 8 {
		hurt := bytes.Clone(plain)
		hurt[at/8] ^= 1 << (at % 8)
		got, err := drain(recording.NewReader(bytes.NewReader(hurt)))
		if errors.Is(err, io.EOF) {
			for i := range got {
				if got[i].Kind != event.InputRecordingGap {
					require.Contains(t, want, asText(got[i : i+1])[0], "bit %d", at)
				}
			}
		}
	}
}

// The checkpoint comes back at its place, however long it is.
func TestAPackedSegmentBringsItsCheckpoint(t *testing.T) {
	inputs := steady(300)
	d := closed(t, inputs, 100)
	want := recording.Checkpoint{Session: session, Judge: "b", Input: 101, Engine: json.RawMessage(`"` + strings.Repeat("state", 100_000) + `"`)}
	want.Position.Taps = []int{}
	line, err := recording.AppendCheckpoint(nil, &want)
	require.NoError(t, err)
	require.NoError(t, recording.Pack(t.Context(), d, 2, line))
	r, err := recording.OpenSegments(d)
	require.NoError(t, err)
	defer func() { require.NoError(t, r.Close()) }()
	var in event.Input
	for i := range 300 {
		require.NoError(t, r.Next(&in))
		got, ok := r.Checkpoint()
		require.Equal(t, i >= 101, ok, i)
		if ok {
			require.Equal(t, want, got)
		}
	}
}

// A power cut at any call while a segment is closed and packed loses no input.
func TestClosingAndPackingBehindAPowerCut(t *testing.T) {
	inputs := steady(60)
	for seed := range uint64(100) {
		luck := rand.New(rand.NewPCG(seed, 0))
		d := closed(t, inputs, 30)
		open, err := d.Open(recording.OpenName)
		require.NoError(t, err)
		d.Before = func(filestest.Call) error {
			left := d.PowerCut(luck)
			got, r := readAll(t, left)
			require.Equal(t, inputs, got, "%s", left)
			require.Zero(t, r.DamageCount())
			return nil
		}
		next, err := recording.MakeNext(d)
		require.NoError(t, err)
		_, err = next.Write(write(t, segment(3, 60), nil))
		require.NoError(t, err)
		require.NoError(t, next.Sync())
		turned, err := recording.TurnOver(d, open, 2)
		require.NoError(t, err)
		require.True(t, turned)
		require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
		require.NoError(t, recording.Pack(t.Context(), d, 2, nil))
	}
}

func TestADamagedSegmentStaysAsItIs(t *testing.T) {
	d := closed(t, steady(100), 50)
	hurt := d.Content("recording-000001.pcapng")
	hurt[len(hurt)/2] ^= 1
	d.Put("recording-000001.pcapng", hurt)
	require.ErrorIs(t, recording.Pack(t.Context(), d, 1, nil), recording.ErrDamaged)
	assert.Equal(t, []string{"recording-000001.pcapng", "recording.pcapng"}, names(t, d))
	assert.Equal(t, hurt, d.Content("recording-000001.pcapng"))
}
