package main

import (
	"io"
	"sync"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/view"
)

// printer is the only way to stdout and stderr: what would act on a terminal is shown, so
// that no name, remark or file of somebody else does anything to whoever reads.
// It may be used by several at once.
type printer struct {
	mu   sync.Mutex
	text text.Writer
}

func newPrinter(to io.Writer) *printer { return &printer{text: text.Writer{To: to}} }

// Write implements io.Writer.
func (p *printer) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.Write(b)
}

// Flush shows the beginning of a character whose end did not come.
func (p *printer) Flush() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.Flush()
}

// painted prints with the sequences that are ours.
func (p *printer) painted(s string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if err := p.text.Flush(); err != nil {
		return err
	}
	_, err := io.WriteString(p.text.To, text.Painted(s, append(view.Sequences(), clearLine, clearAbove, blackOnWhite)))
	return err
}

// fileOf is the file behind a stream, if there is one.
func fileOf(stream any) (described, bool) {
	if p, ok := stream.(*printer); ok {
		stream = p.text.To
	}
	f, ok := stream.(described)
	return f, ok
}

// blackOnWhite is how a code for cameras is shown, whatever the terminal's own colours are;
// colourEnds, which view has too, is behind it.
const (
	blackOnWhite = "\x1b[30;107m"
	colourEnds   = "\x1b[0m"
)

// clearLine has a terminal forget the line that it shows.
const clearLine = "\r\x1b[K"

// printPainted prints what has colours of ours in it, and clearLine. All else of it must
// be printable already, or could be painted like ours.
func printPainted(to io.Writer, s string) error {
	if p, ok := to.(*printer); ok {
		return p.painted(s)
	}
	_, err := io.WriteString(to, s)
	return err
}

// unlessTerminal is a stream for lines that carry a checksum: programs get them as they are.
func unlessTerminal(stream io.Writer) io.Writer {
	if p, ok := stream.(*printer); ok && !isTerminal(stream) {
		return p.text.To
	}
	return stream
}
