package timeline_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/timeline"
)

// A journal that can't be written anew goes on as it was found, under its own name.
func TestAJournalThatCannotBeRebuiltGoesOn(t *testing.T) {
	line := func(seq int64) []byte {
		text, err := timeline.Line(nil, &event.Event{Seq: seq, Kind: event.Mark, About: event.AboutSession, Data: event.MarkData{Text: "one"}}, 0)
		require.NoError(t, err)
		return text
	}
	for nth := 1; nth <= 2; nth++ { // the rename of what was found, and that of what is new
		d := filestest.New()
		j, _, err := timeline.Open(t.Context(), d, "timeline.jsonl")
		require.NoError(t, err)
		require.NoError(t, j.Append(line(2)))
		left := nth
		d.Before = func(c filestest.Call) error {
			if c.Op == "rename" {
				if left--; left == 0 {
					return errors.New("no")
				}
			}
			return nil
		}
		_, err = j.Rebuild(line(1))
		require.Error(t, err)
		require.NoError(t, j.Append(line(3)))
		assert.Equal(t, string(line(2))+string(line(3)), string(d.Content("timeline.jsonl")), "rename %d", nth)
	}
}
