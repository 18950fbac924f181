package crclog

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// Damage is a stretch of neighbouring lines in the middle of a file that can't
// be believed. Good lines follow it.
type Damage struct {
	Offset int64 // where the stretch begins in what was read, bytes
	Length int64 // bytes, newlines included
	Lines  int64 // how many lines, as far as newlines show
	Why    error // what is wrong with its first line
}

func (d *Damage) Error() string {
	return fmt.Sprintf("%d damaged lines (%d bytes) at byte %d: %v", d.Lines, d.Length, d.Offset, d.Why)
}

// Unwrap gives what is wrong with the first line.
func (d *Damage) Unwrap() error { return d.Why }

// ErrLong says that a line is longer than MaxLine.
var ErrLong = fmt.Errorf("the line is longer than %d bytes", MaxLine)

// Scan reads lines and gives each good one to f: its offset in what r yields,
// and the line without its newline, lent for the call. A stretch of damaged
// lines is given once, before the good line that follows it, with line nil and
// a *Damage. An error from f ends the walk and is returned as it is.
//
// tail is where the good content ends: the bytes from there to the end hold no
// good line that a newline ends, so a writer was cut off there. Memory is
// bounded, however long a line is.
func Scan(r io.Reader, f func(offset int64, line []byte, damage error) error) (tail int64, err error) {
	s := scanner{src: bufio.NewReaderSize(r, usualLine), see: f}
	for {
		more, err := s.step()
		if err != nil || !more {
			return s.tail, err
		}
	}
}

// usualLine is longer than nearly each line, bytes: room for longer ones is made when one comes.
const usualLine = 128 << 10

type scanner struct {
	src     *bufio.Reader
	see     func(int64, []byte, error) error
	tail    int64   // end of the last good line
	at      int64   // where the next line begins
	damaged *Damage // the stretch since tail, nil for none
}

// step takes one line; more is false at the end.
func (s *scanner) step() (more bool, err error) {
	line, err := s.line()
	if errors.Is(err, bufio.ErrBufferFull) {
		return s.skipLongLine(len(line))
	}
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("read lines at byte %d: %w", s.at, err)
	}
	length := len(line)
	line = line[:length-1]
	if bad := verify(line); bad != nil {
		s.markDamaged(bad, int64(length))
		return true, nil
	}
	return true, s.good(line)
}

// line is the next one with its newline. The error is bufio.ErrBufferFull where it is longer than MaxLine.
func (s *scanner) line() ([]byte, error) {
	line, err := s.src.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) || len(line) > MaxLine {
		return line, err
	}
	begun := bytes.NewReader(bytes.Clone(line))
	s.src = bufio.NewReaderSize(io.MultiReader(begun, s.src), MaxLine+1)
	return s.src.ReadSlice('\n')
}

// verify is Open without the copy.
func verify(line []byte) error {
	body, sum, ok := split(line)
	if !ok {
		return ErrNoChecksum
	}
	var want [sumLen]byte
	if string(appendSum(want[:0], body)) != string(sum) {
		return ErrWrongChecksum
	}
	return nil
}

// skipLongLine passes over a line that does not fit into memory set aside for one.
func (s *scanner) skipLongLine(length int) (more bool, err error) {
	total := int64(length)
	for {
		part, err := s.src.ReadSlice('\n')
		total += int64(len(part))
		switch {
		case err == nil:
			s.markDamaged(ErrLong, total)
			return true, nil
		case errors.Is(err, io.EOF):
			return false, nil
		case !errors.Is(err, bufio.ErrBufferFull):
			return false, fmt.Errorf("read lines at byte %d: %w", s.at, err)
		}
	}
}

func (s *scanner) markDamaged(why error, length int64) {
	if s.damaged == nil {
		s.damaged = &Damage{Offset: s.at, Why: why}
	}
	s.damaged.Length += length
	s.damaged.Lines++
	s.at += length
}

func (s *scanner) good(line []byte) error {
	if d := s.damaged; d != nil {
		s.damaged = nil
		if err := s.see(d.Offset, nil, d); err != nil {
			return err
		}
	}
	at := s.at
	s.at += int64(len(line)) + 1
	s.tail = s.at
	return s.see(at, line, nil)
}
