package recording_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// What is written comes back in order, with its dates; damage is passed over and counted.
func ExampleReader() {
	var file bytes.Buffer
	taps := []event.TapName{{Name: "main", Kind: "bus"}}
	w, err := recording.NewWriter(&file, recording.Section{Base: 1_700_000_000_000_000_000, Taps: taps, Build: "example"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, in := range []event.Input{
		{Kind: event.InputBegin, Data: []byte(`{"build":"example","wall_ns":1700000000000000000,"taps":[{"name":"main","kind":"bus"}]}`)},
		{At: unit.Time(7 * unit.Millisecond), Tap: 1, Kind: event.InputBytes, Data: []byte{0x0F, 0x01}},
		{At: unit.Time(unit.Second), Kind: event.InputMark, Data: []byte("new battery")},
	} {
		if err := errors.Join(w.Write(&in), w.Flush()); err != nil {
			fmt.Println(err)
			return
		}
	}

	r, in := recording.NewReader(&file), event.Input{}
	for err = r.Next(&in); err == nil; err = r.Next(&in) {
		fmt.Println(unit.FormatClock(in.At), in.Kind, len(in.Data), "bytes")
	}
	fmt.Println(errors.Is(err, io.EOF), r.DamageCount(), "damages")
	// Output:
	// 0:00.000 begin 87 bytes
	// 0:00.007 bytes 2 bytes
	// 0:01.000 mark 11 bytes
	// true 0 damages
}
