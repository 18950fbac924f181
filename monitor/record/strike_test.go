package record

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

// A mark that is struck stays, and no other is touched.
func TestAMarkThatIsStruckStays(t *testing.T) {
	c := NewCollector(starter(t))
	for _, e := range []event.Event{
		{At: 1, Data: event.MarkData{Text: "up"}}, {At: 1, Data: event.MarkData{Text: "up"}}, {At: 2, Data: event.MarkData{Text: "up"}},
		{At: 2, Data: event.MarkData{Text: "down"}},
		{At: 5, Data: event.StrikeData{MarkNS: 1, Text: "up", Why: "twice"}}, {At: 6, Data: event.StrikeData{MarkNS: 2, Text: "down"}},
		{At: 7, Data: event.StrikeData{MarkNS: 2, Text: "never said"}},
	} {
		c.OnEvent(&e, 0)
	}
	assert.Equal(t, []Mark{
		{AtNS: 1, Text: "up"}, {AtNS: 1, Text: "up", Struck: &Strike{5, "twice"}}, {AtNS: 2, Text: "up"}, {AtNS: 2, Text: "down", Struck: &Strike{6, ""}},
	}, c.Marks)
	c.OnEvent(&event.Event{At: 8, Data: event.StrikeData{MarkNS: 1, Text: "up"}}, 0)
	assert.Equal(t, &Strike{8, ""}, c.Marks[0].Struck, "the next of those that are alike")
}
