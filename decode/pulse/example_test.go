package pulse_test

import (
	"fmt"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/pulse"
)

func ExampleMeter() {
	m := pulse.NewMeter(1, edge.Rate{Num: 1000, Den: 1}, pulse.CommonLimits()) // ticks of 1 µs
	show := func(p *pulse.Pulse) { fmt.Println(p.Rise, p.Width, p.Period) }
	for _, e := range []edge.Edge{
		{Tick: 0, Level: edge.Low},
		{Tick: 500, Level: edge.High}, {Tick: 2000, Level: edge.Low},
		{Tick: 20_500, Level: edge.High}, {Tick: 22_100, Level: edge.Low},
	} {
		m.Edge(e, show)
	}
	m.Flush(show)
	// Output:
	// 500000 1500000 0
	// 20500000 1600000 20000000
}

func ExampleLines() {
	var l pulse.BoardDecoder
	printed := "$PBPI,ref-8,500,8,0*52\r\n$PBPX,0,1,33D,BB8*67\r\n$PBPX,1,2,FBD,AF0*6E\r\n"
	l.Feed([]byte(printed), false, func(p *pulse.Pulse) { fmt.Println(p.Output, p.Rise, p.Width) })
	fmt.Println(l.Board.Name, l.Account().Taken)
	// Output:
	// 1 414500 1500000
	// 2 2014500 1400000
	// ref-8 68
}
