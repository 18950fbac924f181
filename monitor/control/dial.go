package control

import (
	"bufio"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/crclog"
)

const dialPatience = 2 * time.Second

// ErrNobody says that no daemon answers.
var ErrNobody = errors.New("no running session answers")

// Conn is a connection to a daemon. One goroutine may send while another reads.
type Conn struct {
	Folder string // of the session
	conn   net.Conn
	lines  *bufio.Scanner
}

// Message is what a daemon says: the answer to a request, or an event.
type Message struct {
	Answer bool
	Refuse string // an answer's sentence, "" for yes
	Line   []byte // an event's timeline line, without the newline
}

// Dial connects to the daemon of a session's folder.
func Dial(folder string) (*Conn, error) {
	path, err := socketOf(folder)
	if err != nil {
		return nil, err
	}
	conn, err := net.DialTimeout("unix", path, dialPatience)
	if err != nil {
		return nil, fmt.Errorf("%w in %s: start one with benchproof watch, or name another folder with --session", ErrNobody, folder)
	}
	c := &Conn{Folder: folder, conn: conn, lines: bufio.NewScanner(conn)}
	c.lines.Buffer(nil, crclog.MaxLine+1)
	return c, nil
}

// ErrSeveral says that more than one daemon answers.
var ErrSeveral = errors.New("more than one session is running")

// Find connects to the one session below a folder whose daemon answers. The sessions
// lie two levels down, as MODEL/DATE-TIME. Where several answer it does not choose,
// since a drill or a mark in the wrong record is worse than none: the error lists
// them, the latest first.
func Find(below string) (*Conn, error) {
	sockets, _ := filepath.Glob(filepath.Join(below, "*", "*", Name)) // the pattern is sound
	slices.SortFunc(sockets, func(a, b string) int {
		return cmp.Compare(filepath.Base(filepath.Dir(b)), filepath.Base(filepath.Dir(a)))
	})
	var found []*Conn
	var folders []string
	for _, s := range sockets {
		if c, err := Dial(filepath.Dir(s)); err == nil { // else left behind by one that was killed
			found, folders = append(found, c), append(folders, c.Folder)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	for _, c := range found {
		_ = c.Close()
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("%w below %s: start one with benchproof watch, or name its folder with --session", ErrNobody, below)
	}
	return nil, fmt.Errorf("%w: %s; name the one that is meant, with --session %s", ErrSeveral, strings.Join(folders, ", "), folders[0])
}

// Send sends a request; its answer comes with Next.
func (c *Conn) Send(r Request) error {
	line, err := encode(r)
	if err != nil {
		return err
	}
	return c.write(line)
}

func encode(r Request) ([]byte, error) {
	line, err := json.Marshal(r)
	if err != nil {
		return nil, fmt.Errorf("ask the daemon: %w", err)
	}
	if len(line) >= maxRequest {
		return nil, fmt.Errorf("ask the daemon: got a request of %d bytes, want less than %d", len(line), maxRequest)
	}
	return append(line, '\n'), nil
}

func (c *Conn) write(line []byte) error {
	_ = c.conn.SetWriteDeadline(time.Now().Add(writePatience))
	if _, err := c.conn.Write(line); err != nil {
		return fmt.Errorf("ask the daemon: %w", err)
	}
	return nil
}

// ErrEnded says that the daemon stopped, or cut the connection.
var ErrEnded = errors.New("the daemon has ended the connection")

// Next waits for the next message.
func (c *Conn) Next() (Message, error) {
	if !c.lines.Scan() {
		if err := c.lines.Err(); err != nil && !errors.Is(err, net.ErrClosed) {
			return Message{}, fmt.Errorf("%w: %w", ErrEnded, err)
		}
		return Message{}, ErrEnded
	}
	var a answer
	line := c.lines.Bytes()
	if err := json.Unmarshal(line, &a); err != nil {
		return Message{}, fmt.Errorf("the daemon says what is not readable: %w", err)
	}
	if a.OK || a.Error != "" {
		return Message{Answer: true, Refuse: a.Error}, nil
	}
	return Message{Line: slices.Clone(line)}, nil
}

// Ask sends a request and waits for its answer; refused is the sentence of one
// that was not taken. It is for who follows nothing.
func (c *Conn) Ask(r Request) (refused string, err error) {
	line, err := encode(r)
	if err != nil {
		return err.Error(), nil
	}
	sent := c.write(line) // one who was turned away can't send, but reads why
	for {
		m, err := c.Next()
		switch {
		case err != nil && sent != nil:
			return "", sent
		case err != nil || m.Answer:
			return m.Refuse, err
		}
	}
}

// Close ends the connection, and with it a Next that waits.
func (c *Conn) Close() error { return c.conn.Close() }
