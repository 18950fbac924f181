package api

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxWho is the length of the name of who follows a drill, in characters.
const maxWho = 40

// checkWho says what is wrong with the name of who follows a drill, or nil.
func checkWho(name string) error {
	switch n := utf8.RuneCountInString(name); {
	case n > maxWho:
		return fmt.Errorf("the name of who follows the drill is too long: got %d characters, want at most %d", n, maxWho)
	case strings.ContainsFunc(name, unicode.IsControl):
		return errors.New("the name of who follows the drill has line breaks or other control characters in it, want plain text on one line")
	}
	return nil
}
