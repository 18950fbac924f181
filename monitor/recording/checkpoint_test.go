package recording_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

func TestCheckpointsComeBack(t *testing.T) {
	d := filestest.New()
	none, err := recording.ReadCheckpoints(d, "checkpoints.jsonl")
	require.NoError(t, err)
	assert.Empty(t, none)

	log, _, _, err := crclog.OpenLog(d, "checkpoints.jsonl")
	require.NoError(t, err)
	var want []recording.Checkpoint
	var lines []byte
	for i := range int64(4) {
		c := recording.Checkpoint{
			Session: "a", Judge: "b", Input: i * 100, At: unit.Time(unit.Duration(i) * unit.Second), Seq: i * 3,
			Position: recording.Position{Offset: 1000 * i, Base: base, Taps: []int{0, 1, -1}, Input: i * 100},
			Engine:   json.RawMessage(`{"watchers":[{"due":9223372036854775807}]}`),
		}
		want = append(want, c)
		lines, err = recording.AppendCheckpoint(lines, &c)
		require.NoError(t, err)
	}
	require.NoError(t, log.Append(lines))
	require.NoError(t, log.Sync())
	require.NoError(t, log.Close())
	got, err := recording.ReadCheckpoints(d, "checkpoints.jsonl")
	require.NoError(t, err)
	assert.Equal(t, want, got)

	second := bytes.IndexByte(lines, '\n') + 1
	lines[second+9] ^= 1
	d.Put("checkpoints.jsonl", append(lines, `{"input":400,`...))
	got, err = recording.ReadCheckpoints(d, "checkpoints.jsonl")
	require.NoError(t, err)
	assert.Equal(t, append(want[:1:1], want[2:]...), got, "a damaged line costs that line only")
}

// The lines of builds before this one, which said neither whose they were nor who
// judged, and those of builds to come.
func TestCheckpointsOfAnotherFormArePassedOver(t *testing.T) {
	d := filestest.New()
	mine := recording.Checkpoint{Session: "a", Judge: "b", Input: 7, Position: recording.Position{Taps: []int{}}, Engine: json.RawMessage("{}")}
	lines, err := recording.AppendCheckpoint(nil, &mine)
	require.NoError(t, err)
	for _, object := range []string{
		`{"input":7,"at_ns":0,"seq":0,"position":{"offset":0,"section":0,"base_ns":0,"taps":[],"input":0,"at_ns":0},"bench":{}}`,
		`{"session":"a","judge":"b","input":7,"at_ns":0,"seq":0,"position":{"offset":0,"section":0,"base_ns":0,"taps":[],"input":0,"at_ns":0},"state":{},"more":1}`,
		`{"session":"a","judge":"b","input":"7","state":{}}`,
		`{"session":"a","judge":"b","input":7}`,
	} {
		lines = crclog.Append(lines, []byte(object))
	}
	d.Put("checkpoints.jsonl", lines)
	got, err := recording.ReadCheckpoints(d, "checkpoints.jsonl")
	require.NoError(t, err)
	assert.Equal(t, []recording.Checkpoint{mine}, got)
}

func TestCheckpointTooLong(t *testing.T) {
	huge := append(append([]byte(`"`), bytes.Repeat([]byte("x"), crclog.MaxLine)...), '"')
	dst, err := recording.AppendCheckpoint([]byte("before\n"), &recording.Checkpoint{Input: 7, Engine: huge})
	require.ErrorContains(t, err, "at input 7")
	assert.Equal(t, "before\n", string(dst))
	_, err = recording.AppendCheckpoint(nil, &recording.Checkpoint{Engine: json.RawMessage("{")})
	require.Error(t, err)
}
