package claim_test

import (
	"fmt"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// A book makes the claims of a sheet and judges them by events, one after the other.
func ExampleBook() {
	s, err := sheet.Read("starter.yaml", sheet.Starter())
	if err != nil {
		fmt.Println(err)
		return
	}
	book := claim.New(s)
	c := book.Index()["position/aid/first"]
	fmt.Printf("%s: %s\n  to see it: %s\n", c.Verdict, c.Sentence, c.Settle)

	show := func(changed *claim.Claim, was claim.Verdict) {
		fmt.Printf("%s, was %s: %s\n", changed.ID, was, changed.Verdict)
	}
	for i, to := range []string{"second", "first"} {
		width := []int64{1_330_000, 1_040_000}[i]
		book.See(&event.Event{Seq: int64(i + 1), Kind: event.SwitchMoved, About: event.AboutSwitch.Called("aid"), Data: event.SwitchData{
			Tap: "main", To: to, WidthNS: unit.Width(width), Within: true, Signal: event.SignalLive,
		}}, show)
	}
	// Output:
	// open: at first aid stands at 1040 µs on the bus
	//   to see it: put aid to first
	// position/aid/first, was open: seen right
	// position/aid/second, was open: seen right
}
