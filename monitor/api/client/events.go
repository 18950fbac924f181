package client

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"slices"

	"benchproof.example/monitor/crclog"
)

// Events are the events of a session as they are shown.
type Events struct {
	body  io.ReadCloser
	lines *bufio.Scanner
}

// Follow gets the events from the next one on, until ctx is done: all that is caused by
// what is put in after it returned is among them.
func (c *Client) Follow(ctx context.Context) (*Events, error) {
	answer, err := c.ask(ctx, http.MethodGet, "/api/events", nil)
	if err != nil {
		return nil, err
	}
	e := &Events{body: answer.Body, lines: bufio.NewScanner(answer.Body)}
	e.lines.Buffer(nil, crclog.MaxLine+len("data: \n"))
	return e, nil
}

// Next waits for the next event and gives its timeline line, without the newline.
func (e *Events) Next() ([]byte, error) {
	for e.lines.Scan() {
		if line, ok := bytes.CutPrefix(e.lines.Bytes(), []byte("data: ")); ok {
			return slices.Clone(line), nil
		}
	}
	if err := e.lines.Err(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrEnded, err)
	}
	return nil, ErrEnded
}

// Close ends it, and with it a Next that waits.
func (e *Events) Close() { _ = e.body.Close() }

// Timeline gets the lines of the events behind a number, oldest first, each without its
// newline; none where there are no more. It may take several calls.
func (c *Client) Timeline(ctx context.Context, after int64) (lines [][]byte, err error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	answer, err := c.ask(ctx, http.MethodGet, fmt.Sprintf("/api/timeline?limit=10000&after=%d", after), nil)
	if err != nil {
		return nil, err
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(io.LimitReader(answer.Body, maxAnswer))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrEnded, err)
	}
	for line := range bytes.Lines(text) {
		lines = append(lines, bytes.TrimSuffix(line, []byte("\n")))
	}
	return lines, nil
}
