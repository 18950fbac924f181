package recording_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

// turnOver closes the open segment and begins another with inputs.
func turnOver(t *testing.T, d *filestest.Disk, number int, s recording.Section, inputs []event.Input) {
	open, err := d.Open(recording.OpenName)
	require.NoError(t, err)
	next, err := recording.MakeNext(d)
	require.NoError(t, err)
	_, err = next.Write(write(t, s, inputs))
	require.NoError(t, err)
	turned, err := recording.TurnOver(d, open, number)
	require.NoError(t, err)
	require.True(t, turned)
}

// Who reads while the recording goes on finds each segment under the name that it has by
// then: the open one may have been closed and packed, and others begun.
func TestSegmentsMayBeClosedAndPackedWhileTheyAreRead(t *testing.T) {
	inputs := steady(400)
	for name, begin := range map[string]func(d *filestest.Disk) (*recording.SegmentReader, error){
		"from the start": func(d *filestest.Disk) (*recording.SegmentReader, error) { return recording.OpenSegments(d) },
		"from a place": func(d *filestest.Disk) (*recording.SegmentReader, error) {
			return recording.OpenSegmentsAt(d, recording.Position{Segment: 1})
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := closed(t, inputs[:300], 100)
			r, err := begin(d)
			require.NoError(t, err)
			var in event.Input
			require.NoError(t, r.Next(&in))
			turnOver(t, d, 3, segment(4, 300), inputs[300:])
			for n := 1; n <= 3; n++ {
				require.NoError(t, recording.Pack(t.Context(), d, n, nil))
			}
			got, err := drain(&r.Reader)
			require.ErrorContains(t, err, "EOF")
			require.NoError(t, r.Close())
			require.Equal(t, inputs[1:300], got, "what had begun when it was listed")
			assert.Zero(t, r.DamageCount())
		})
	}
}

// A checkpoint that stands before the first input of a section has the date of the input
// before it, and the packed form reads as the plain one.
func TestACheckpointBetweenTwoSections(t *testing.T) {
	inputs := steady(100)
	d := closed(t, inputs[:50], 50)
	d.Put(recording.OpenName, append(d.Content(recording.OpenName), write(t, segment(1, 50), inputs[50:])...))
	turnOver(t, d, 1, segment(2, 100), nil)
	line, err := recording.AppendCheckpoint(nil, &recording.Checkpoint{Session: session, Judge: "b", Input: 50, Engine: json.RawMessage(`{}`)})
	require.NoError(t, err)
	require.NoError(t, recording.Pack(t.Context(), d, 1, line))
	got, r := readAll(t, d)
	assert.Equal(t, inputs, got)
	assert.Empty(t, r.Damages())
}

// Where a power cut left a head without an input, what is recorded next is whole.
func TestARecordingWithoutInputIsCutToNothing(t *testing.T) {
	d := filestest.New()
	head := write(t, segment(1, 0), nil)
	d.Put(recording.OpenName, append(head, "half a block"...))
	found, err := recording.Repair(t.Context(), d)
	require.NoError(t, err)
	assert.Empty(t, found.Session)
	assert.Equal(t, int64(len(head))+12, found.Cut)
	assert.Empty(t, d.Content(recording.OpenName))
	assert.Len(t, d.Content(found.Aside), len(head)+12)
}

// What names an event of damage does not change when the segment gets another name.
func TestDamageIsToldAlikeUnderEachName(t *testing.T) {
	inputs := steady(300)
	d := closed(t, inputs, 100)
	hurt := d.Content(recording.OpenName)
	hurt[len(hurt)/2] ^= 1
	d.Put(recording.OpenName, hurt)
	before, _ := readAll(t, d)
	turnOver(t, d, 3, segment(4, 300), nil)
	after, r := readAll(t, d)
	assert.Equal(t, before, after)
	require.Len(t, r.Damages(), 1)
	assert.Equal(t, "recording-000003.pcapng", r.Damages()[0].File)
}
