package timeline_test

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// A line carries its own checksum, so a reader knows a damaged one.
func ExampleParse() {
	line, err := timeline.Line(nil, &event.Event{
		Seq: 1, At: unit.Time(2 * unit.Second), From: unit.Time(unit.Second), Kind: event.Mark, About: "session",
		Data: event.MarkData{Text: "fresh pack"},
	}, 1_700_000_002_000_000_000)
	if err != nil {
		fmt.Println(err)
		return
	}
	line = line[:len(line)-1] // without its line feed
	entry, err := timeline.Parse(line)
	fmt.Println(entry.Kind, unit.FormatClock(entry.From), string(entry.Data), err)

	line[30] ^= 1
	_, err = timeline.Parse(line)
	fmt.Println(err != nil)
	// Output:
	// mark 0:01.000 {"text":"fresh pack"} <nil>
	// true
}
