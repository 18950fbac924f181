package session

import (
	"bufio"
	"fmt"
	"io"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/timeline"
)

// pastLines are the lines of a journal behind an event, one after the other: a long
// journal is neither read before it is needed nor held.
type pastLines struct {
	file files.File
	scan *bufio.Scanner
	seq  int64 // of the line at hand, 0: none
	over bool
}

// openPastLines opens what the journal has now behind the event of a number.
func openPastLines(in files.Folder, after int64) (*pastLines, error) {
	f, err := in.Open(TimelineFile)
	if err != nil {
		return nil, fmt.Errorf("resume: %w", err)
	}
	size, err := f.Size()
	if err != nil {
		return nil, fmt.Errorf("resume: %w", err)
	}
	begin := timeline.Behind(f, size, after)
	p := &pastLines{file: f, scan: bufio.NewScanner(io.NewSectionReader(f, begin, size-begin))}
	p.scan.Buffer(nil, crclog.MaxLine+1)
	return p, nil
}

// line is that of the event of a number, with its newline. Numbers that are asked for
// rise; known says that the journal has it.
func (p *pastLines) line(seq int64) (line string, known bool) {
	for !p.over && p.seq < seq {
		p.next()
	}
	if p.over || p.seq != seq {
		return "", false
	}
	return p.scan.Text() + "\n", true
}

// next goes to the next line that can be believed.
func (p *pastLines) next() {
	for p.scan.Scan() {
		if _, err := crclog.Check(p.scan.Bytes()); err != nil {
			continue
		}
		if n, err := timeline.Number(p.scan.Bytes()); err == nil {
			p.seq = n
			return
		}
	}
	p.over = true
}
