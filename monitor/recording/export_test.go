package recording_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"testing"

	"github.com/gopacket/gopacket/pcapgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

func exported(t testing.TB, d *filestest.Disk, span recording.Span) ([]byte, recording.Exported) {
	var out bytes.Buffer
	done, err := recording.Export(t.Context(), d, span, &out)
	require.NoError(t, err)
	return out.Bytes(), done
}

// packets are how many packets a general library finds, and the interfaces that they stand on.
func packets(t testing.TB, file []byte) (n int, names []string) {
	r, err := pcapgo.NewNgReader(bytes.NewReader(file), pcapgo.NgReaderOptions{WantMixedLinkType: true})
	require.NoError(t, err)
	for {
		_, about, err := r.ReadPacketData()
		if errors.Is(err, io.EOF) {
			return n, names
		}
		require.NoError(t, err)
		n++
		link, err := r.Interface(about.InterfaceIndex)
		require.NoError(t, err)
		names = append(names, link.Name)
	}
}

// An export of the whole has every input, however the recording is cut and packed, one a
// packet.
func TestAnExportHasEveryInput(t *testing.T) {
	inputs := append(every(t), later(steady(500), every(t))...)
	for _, each := range []int{1, 7, 100, 1000} {
		d := closed(t, inputs, each)
		for n := 2; n < (len(inputs)+each-1)/each; n += 2 {
			require.NoError(t, recording.Pack(t.Context(), d, n, nil))
		}
		file, done := exported(t, d, recording.Span{})
		got, r := read(t, file)
		require.Equal(t, inputs, got)
		assert.Zero(t, r.DamageCount())
		assert.Equal(t, recording.Exported{Inputs: int64(len(inputs)), Base: base, First: inputs[0].At, Last: inputs[len(inputs)-1].At}, done)
		n, names := packets(t, file)
		assert.Equal(t, len(inputs), n)
		for i := range inputs {
			require.Equal(t, []string{"bench", "main", "leads"}[inputs[i].Tap], names[i])
		}
	}
}

// A recording of format 1 says its taps in its inputs alone.
func TestAnExportOfFormatOne(t *testing.T) {
	frozen, err := os.ReadFile("../../testdata/corpus/reedwing-resumed/recording.pcapng")
	require.NoError(t, err)
	inputs, _ := read(t, frozen)
	d := filestest.New()
	d.Put(recording.OpenName, frozen)
	file, _ := exported(t, d, recording.Span{})
	got, r := read(t, file)
	assert.Equal(t, inputs, got)
	assert.Zero(t, r.DamageCount())
	from := inputs[500].At
	file, done := exported(t, d, recording.Span{From: recording.Moment{Since: unit.Duration(from)}})
	got, _ = read(t, file)
	assert.Equal(t, inputs[500:], got)
	assert.Equal(t, int64(len(inputs)-500), done.Inputs)
	_, names := packets(t, file)
	assert.Contains(t, names, "main")
}

// A span is what lies from its first moment on and before its last one, with the numbers
// that the inputs have.
func TestAnExportOfASpan(t *testing.T) {
	inputs := steady(1000)
	d := closed(t, inputs, 100)
	require.NoError(t, recording.Pack(t.Context(), d, 3, nil))
	for _, c := range []struct{ from, to int }{{0, 1}, {1, 1000}, {250, 250}, {299, 301}, {300, 700}, {901, 1000}, {950, 990}} {
		from, to := unit.Duration(inputs[c.from].At), 7*unit.Millisecond*unit.Duration(c.to)
		for _, span := range []recording.Span{
			{From: recording.Moment{Since: from}, To: recording.Moment{Since: to}},
			{From: recording.Moment{UnixNS: base + int64(from)}, To: recording.Moment{UnixNS: base + int64(to)}},
		} {
			file, done := exported(t, d, span)
			require.Equal(t, int64(c.to-c.from), done.Inputs)
			if done.Inputs == 0 {
				require.Empty(t, file)
				continue
			}
			got, r := read(t, file)
			require.Equal(t, inputs[c.from:c.to], got)
			require.Zero(t, r.DamageCount())
			require.Equal(t, int64(c.to), r.Position().Input, "the number of the next")
		}
	}
}

// What is lacking in a recording is lacking in its export, which mends nothing.
func TestAnExportHasTheHolesOfItsRecording(t *testing.T) {
	inputs := steady(400)
	d := closed(t, inputs, 100)
	require.NoError(t, d.Remove("recording-000002.pcapng"))
	file, done := exported(t, d, recording.Span{})
	require.Len(t, done.Damages, 1)
	got, r := read(t, file)
	require.Len(t, got, 301)
	assert.Equal(t, int64(100), gapOf(t, got[100]).Inputs)
	assert.Equal(t, int64(400), r.Position().Input)
	assert.Equal(t, inputs[200:], got[101:])
}

func TestAnExportEndsWhenAsked(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := recording.Export(ctx, closed(t, steady(10), 5), recording.Span{}, io.Discard)
	require.ErrorIs(t, err, context.Canceled)
}

// A session that runs packs its segments while an export looks for where it begins.
func TestAnExportFindsItsBeginningWhileSegmentsArePacked(t *testing.T) {
	inputs := steady(500)
	d := closed(t, inputs, 100)
	from := inputs[150].At
	once := false
	d.Before = func(c filestest.Call) error {
		if c.Op == "open" && !once {
			once = true
			for n := 1; n <= 4; n++ {
				assert.NoError(t, recording.Pack(t.Context(), d, n, nil))
			}
		}
		return nil
	}
	file, _ := exported(t, d, recording.Span{From: recording.Moment{Since: unit.Duration(from)}})
	got, _ := read(t, file)
	assert.Equal(t, inputs[150:], got)
}
