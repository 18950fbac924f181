package sheet_test

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func ExampleRead() {
	text := `sheet: 1
model: Gullpost 900
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500 us}
  5: {name: flaps, kind: swich, positions: {up: 988, down: 2012}}
outputs:
  1: {surface: left aileron, moved_by: {ailerons: 1.0}}
`
	_, err := sheet.Read("gullpost.yaml", []byte(text))
	fmt.Println(err)
	// Output:
	// gullpost.yaml:5:26: found "swich" for kind; switch would be right
	// gullpost.yaml:7:41: found "ailerons", which is not a channel of this sheet; aileron would be right
}

func ExampleSheet_ModeAt() {
	s, err := sheet.Read("starter.yaml", sheet.Starter())
	if err != nil {
		fmt.Println(err)
		return
	}
	aid, _ := s.ByName("aid")
	fmt.Println(s.ModeAt(func(channel int) unit.Width {
		return map[int]unit.Width{aid.Number: 1_640_000}[channel]
	}))
	// Output: upright true
}
