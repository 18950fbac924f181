// Package control is how a person reaches a daemon that runs: a local socket in
// the session's folder over which lines of JSON go to and fro.
//
//	person   {"do":"drill","step":{"drill":"mode","do":"begin"}}
//	daemon   {"ok":true}
//	daemon   {"format":1,"seq":12,...,"kind":"drill.began",...}
//
// A request is a Request; each is answered by {"ok":true} or {"error":"sentence"}.
// After "drill" or "follow" the events of the session follow as their timeline
// lines, each as it is shown. A client that does not read them is cut off.
package control

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"unicode"

	"benchproof.example/monitor/event"
)

// pathTooLong is what is said of a folder whose path is too long.
const pathTooLong = "the path of the control socket is too long: got %d bytes, want at most %d; drills and marks need a " +
	"session folder with a shorter path, or a shorter way to it from the working folder: %s"

// Name is the file name of the socket in a session's folder.
const Name = "control"

// What a Request does.
const (
	DoDrill  = "drill"  // Step is put in; the events follow
	DoMark   = "mark"   // Text is put in
	DoReopen = "reopen" // What is put in
	DoFollow = "follow" // the events follow
)

// Request is what a client asks for.
type Request struct {
	Do   string           `json:"do"`
	Step *event.DrillStep `json:"step,omitempty"`
	Text string           `json:"text,omitempty"`
	What string           `json:"what,omitempty"`
}

// answer is what the daemon says to a request.
type answer struct {
	OK    bool   `json:"ok,omitempty"`
	Error string `json:"error,omitempty"` // a sentence
}

// Limits.
const (
	maxClients = 8
	maxRequest = 4096 // bytes of a line
	maxText    = 500  // characters of a mark
	maxPath    = 103  // bytes: what the name of a socket may have on every system
)

// socketOf is the socket of a session's folder.
func socketOf(folder string) (string, error) {
	path := filepath.Join(folder, Name)
	if len(path) > maxPath {
		return "", fmt.Errorf(pathTooLong, len(path), maxPath, path)
	}
	return path, nil
}

var errNoText = errors.New("the mark says nothing: give it a text")

// CheckText says what is wrong with the text of a mark, or nil.
func CheckText(text string) error {
	n := len([]rune(text))
	switch {
	case strings.TrimSpace(text) == "":
		return errNoText
	case n > maxText:
		return fmt.Errorf("the mark is too long: got %d characters, want at most %d", n, maxText)
	case strings.ContainsFunc(text, unicode.IsControl):
		return errors.New("the mark has line breaks or other control characters in it, want plain text on one line")
	}
	return nil
}
