package linefault_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/uart"
)

const (
	ms   = int64(1_000_000)
	span = 1500 * ms
)

// situation is a line with a fault, and the port that reads it.
type situation struct {
	cause  linefault.Cause
	detail string
	port   uart.Format // zero: as it should be
	line   sender
	late   bool // handed over in large batches
	lose   int  // of a hundred characters
}

func protocol() *bus.Protocol {
	p, _ := protocols.Find("")
	return p
}

// plain is how a port reads that is set right, behind the inverter that the line needs.
func plain(p *bus.Protocol) uart.Format {
	f := p.Line
	f.Inverted = false
	return f
}

func format(baud int64, parity uart.Parity, stop int) uart.Format {
	return uart.Format{Baud: baud, Data: 8, Parity: parity, Stop: stop}
}

// busSent is the bus behind its inverter, with something changed.
func busSent(change func(*uart.Format)) sender {
	return func(p *bus.Protocol, rng *rand.Rand, end int64) (linesim.Line, error) {
		f := plain(p)
		change(&f)
		return linesim.Bus(p, f, rng, end)
	}
}

var asSent = busSent(func(*uart.Format) {})

// sender makes a line.
type sender = func(p *bus.Protocol, rng *rand.Rand, end int64) (linesim.Line, error)

// other is a stream of another kind.
func other(send func(uart.Format, *rand.Rand, int64) (linesim.Line, error), f uart.Format) sender {
	return func(_ *bus.Protocol, rng *rand.Rand, end int64) (linesim.Line, error) { return send(f, rng, end) }
}

// sure is a line that can be made in any case, either way up.
func sure(draw func(*rand.Rand, int64) linesim.Line) sender {
	return func(_ *bus.Protocol, rng *rand.Rand, end int64) (linesim.Line, error) {
		l := draw(rng, end)
		if rng.IntN(2) == 0 {
			l = l.Not()
		}
		return l, nil
	}
}

// situations are those that the tables predict.
func situations() []situation {
	list := []situation{
		{cause: linefault.Healthy, detail: "-", line: asSent},
		{cause: linefault.Clumps, detail: "-", line: asSent, late: true},
		{cause: linefault.Inverted, detail: "-", line: busSent(func(f *uart.Format) { f.Inverted = true })},
		{cause: linefault.Parity, detail: "odd", port: format(100_000, uart.Odd, 2), line: asSent},
		{cause: linefault.Parity, detail: "none", port: format(100_000, uart.None, 1), line: asSent},
		{cause: linefault.Rate, detail: "line_200000", line: busSent(func(f *uart.Format) { f.Baud = 200_000 })},
		{cause: linefault.Rate, detail: "line_115200", line: busSent(func(f *uart.Format) { f.Baud = 115_200 })},
		{cause: linefault.Rate, detail: "line_57600", line: busSent(func(f *uart.Format) { f.Baud = 57_600 })},
		{cause: linefault.Pulses, detail: "-", line: sure(linesim.Pulses)},
	}
	for _, us := range []int64{2, 5, 10, 20, 40, 80, 200, 400} {
		noise := func(rng *rand.Rand, end int64) linesim.Line { return linesim.Noise(1000*us, rng, end) }
		list = append(list, situation{cause: linefault.Noise, detail: fmt.Sprintf("%d_us", us), line: sure(noise)})
	}
	for _, frequency := range []int64{50, 60} {
		mains := func(rng *rand.Rand, end int64) linesim.Line { return linesim.Mains(frequency, rng, end) }
		list = append(list, situation{cause: linefault.Mains, detail: fmt.Sprintf("%d_Hz", frequency), line: sure(mains)})
	}
	for _, f := range []struct {
		name string
		set  uart.Format
	}{
		{"9600_8N1", format(9600, uart.None, 1)}, {"19200_8N1", format(19_200, uart.None, 1)}, {"38400_8N1", format(38_400, uart.None, 1)},
		{"57600_8N1", format(57_600, uart.None, 1)}, {"115200_8N1", format(115_200, uart.None, 1)}, {"115200_8E2", format(115_200, uart.Even, 2)},
		{"200000_8E2", format(200_000, uart.Even, 2)}, {"230400_8N1", format(230_400, uart.None, 1)}, {"250000_8N1", format(250_000, uart.None, 1)},
	} {
		list = append(list, situation{cause: linefault.Rate, detail: "port_" + f.name, port: f.set, line: asSent})
	}
	for _, s := range []struct {
		detail string
		send   func(uart.Format, *rand.Rand, int64) (linesim.Line, error)
		format uart.Format
	}{
		{"text_9600", linesim.Text, format(9600, uart.None, 1)}, {"text_19200", linesim.Text, format(19_200, uart.None, 1)},
		{"text_38400", linesim.Text, format(38_400, uart.None, 1)}, {"text_57600", linesim.Text, format(57_600, uart.None, 1)},
		{"text_115200", linesim.Text, format(115_200, uart.None, 1)},
		{"packets_9600", linesim.Binary, format(9600, uart.None, 1)}, {"packets_57600", linesim.Binary, format(57_600, uart.None, 1)},
		{"packets_115200", linesim.Binary, format(115_200, uart.None, 1)}, {"packets_100000_8E2", linesim.Binary, format(100_000, uart.Even, 2)},
		{"packets_420000", linesim.Binary, format(420_000, uart.None, 1)},
	} {
		for _, inverted := range []bool{false, true} {
			f, detail := s.format, s.detail
			if f.Inverted = inverted; inverted {
				detail += "_inverted"
			}
			list = append(list, situation{cause: linefault.Stream, detail: detail, line: other(s.send, f)})
		}
	}
	return list
}

// readable reports that nothing is wrong with what comes: parity that nobody sees.
func (s *situation) readable(marks linesim.Marks) bool {
	return s.cause == linefault.Parity && marks == linesim.Unseen
}

// received is what a port reads of the line.
func (s *situation) received(t testing.TB, seed, n uint64) []uart.Char {
	p := protocol()
	port := s.port
	if port.Baud == 0 {
		port = plain(p)
	}
	line, err := s.line(p, rand.New(rand.NewPCG(seed, n)), span)
	require.NoError(t, err)
	chars, err := linesim.Receive(line, port)
	require.NoError(t, err)
	return chars
}

// reads are characters as an adapter hands them over.
func (s *situation) reads(chars []uart.Char, marks linesim.Marks, seed, n uint64) []linesim.Read {
	rng := rand.New(rand.NewPCG(seed, n+1<<32))
	latency := []int64{ms, ms, ms, 2 * ms, 4 * ms, 16 * ms}[rng.IntN(6)]
	if s.late {
		latency = 60*ms + rng.Int64N(500*ms)
	}
	return linesim.Adapter{Latency: latency, Marks: marks, Lose: s.lose}.Reads(chars, rng)
}

// heard counts reads, cut into pieces.
func heard(reads []linesim.Read, piece int) *linefault.Heard {
	h := &linefault.Heard{}
	p := protocol()
	framer := p.NewFramer()
	framed := func(*bus.Found) { h.Framed += int64(p.FrameLen) }
	for _, r := range reads {
		for data := r.Data; len(data) > 0; {
			n := len(data)
			if piece > 0 {
				n = min(n, piece)
			}
			h.Feed(data[:n], r.At, r.Bad)
			framer.Feed(data[:n], r.At, r.Bad, framed)
			data = data[n:]
		}
	}
	return h
}
