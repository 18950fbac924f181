package session

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

func checkpointAt(t *testing.T, c *checkpointFile, input int64) {
	t.Helper()
	of := recording.Checkpoint{Session: judgeOfTests, Input: input, Engine: []byte(`{"length":"` + strings.Repeat("x", int(input)) + `"}`)}
	of.Position.Segment = 7
	require.NoError(t, c.append(&of))
}

func inputsOf(c *checkpointFile) (list []int64) {
	for _, k := range c.kept {
		list = append(list, k.of.Input)
	}
	return list
}

// A file that is written anew many times, each time from its own text, has the newest and
// that with which the segment begins, whole.
func TestCheckpointsAreCopiedFromTheFile(t *testing.T) {
	disk := filestest.New()
	c, err := openCheckpoints(disk, 5)
	require.NoError(t, err)
	for n := int64(1); n <= 40; n++ {
		checkpointAt(t, c, n)
		require.Contains(t, inputsOf(c), int64(1), "it begins the segment")
		require.Contains(t, inputsOf(c), n)
	}
	was := inputsOf(c)
	require.NoError(t, c.close())
	again, err := openCheckpoints(disk, 100)
	require.NoError(t, err)
	assert.Equal(t, was, inputsOf(again))
	assert.Equal(t, c.kept[1:], again.kept[1:], "also where they stand")
}

// What another hand did to the file takes a checkpoint, never more, and none that is wrong stays.
func TestACheckpointThatIsNotThereAnyMoreIsNotKept(t *testing.T) {
	tests := map[string]struct {
		change func(text []byte) []byte
		want   []int64
	}{
		"altered":        {func(text []byte) []byte { text[20]++; return text }, []int64{2, 3, 4}},
		"cut short":      {func(text []byte) []byte { return text[:len(text)-3] }, []int64{1, 2, 4}},
		"emptied":        {func([]byte) []byte { return nil }, []int64{4}},
		"in other order": {func(text []byte) []byte { return append(text[len(text)/2:], text[:len(text)/2]...) }, []int64{4}},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			disk := filestest.New()
			c, err := openCheckpoints(disk, 3)
			require.NoError(t, err)
			for n := int64(1); n <= 3; n++ {
				checkpointAt(t, c, n)
			}
			text, err := files.Read(disk, CheckpointsFile, 1<<20)
			require.NoError(t, err)
			require.NoError(t, files.Replace(disk, CheckpointsFile, test.change(text)))
			checkpointAt(t, c, 4)
			assert.Equal(t, test.want, inputsOf(c))
			require.NoError(t, c.close())
		})
	}
}
