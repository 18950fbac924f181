package client

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"benchproof.example/monitor/api/socket"
)

// ErrSeveral says that more than one daemon answers.
var ErrSeveral = errors.New("more than one session is running")

// Running are the clients of all sessions below a folder whose daemons answer, the latest
// first. The sessions lie two levels down, as MODEL/DATE-TIME.
func Running(below string) (found []*Client) {
	sockets, _ := filepath.Glob(filepath.Join(below, "*", "*", socket.Name)) // the pattern is sound
	slices.SortFunc(sockets, func(a, b string) int {
		return cmp.Compare(filepath.Base(filepath.Dir(b)), filepath.Base(filepath.Dir(a)))
	})
	for _, s := range sockets {
		if c, err := Dial(filepath.Dir(s)); err == nil { // else left behind by one that was killed
			found = append(found, c)
		}
	}
	return found
}

// Find is Dial for the one session below a folder whose daemon answers. Where several answer
// it does not choose, since a drill or a mark in the wrong record is worse than none: the
// error lists them, the latest first.
func Find(below string) (*Client, error) {
	found := Running(below)
	switch len(found) {
	case 0:
		return nil, fmt.Errorf("%w below %s: start one with benchproof watch, or name its folder with --session", ErrNobody, below)
	case 1:
		return found[0], nil
	}
	var folders []string
	for _, c := range found {
		folders = append(folders, c.Folder)
	}
	return nil, fmt.Errorf("%w: %s; name the one that is meant, with --session %s", ErrSeveral, strings.Join(folders, ", "), folders[0])
}
