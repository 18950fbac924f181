package api

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
)

// maxText is the length of a mark in characters.
const maxText = 500

// CheckText says what is wrong with the text of a mark, or nil.
func CheckText(text string) error {
	n := len([]rune(text))
	switch {
	case strings.TrimSpace(text) == "":
		return errors.New("the mark says nothing: give it a text")
	case n > maxText:
		return fmt.Errorf("the mark is too long: got %d characters, want at most %d", n, maxText)
	case strings.ContainsFunc(text, unicode.IsControl):
		return errors.New("the mark has line breaks or other control characters in it, want plain text on one line")
	}
	return nil
}
