package api

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
)

const (
	// maxSentences is how many sentences a batch may have: those of a third of a second at 200 a second.
	maxSentences = 64
	// longestSentence is how long each may be, its end among it.
	longestSentence = 82
)

// tiltBody is a batch of sentences.
type tiltBody struct {
	Sentences *string `json:"sentences"`
}

// tilt takes sentences in which a phone says how it lies. They are put in as bytes of its tap, as
// the lines of a capture board are; whether they are right is judged with all else.
func (s *Server) tilt(w http.ResponseWriter, r *http.Request) {
	var body tiltBody
	if !readBody(w, r, &body) {
		return
	}
	switch {
	case s.opt.Tilt == nil:
		refuse(w, http.StatusNotFound, "no phone is a tap of this session: its sheet has none, as in  taps: {phone: {kind: tilt}}")
		return
	case body.Sentences == nil:
		refuse(w, http.StatusBadRequest, `the body lacks "sentences", want {"sentences":"$PBTA,...*hh\r\n..."}`)
		return
	}
	if err := checkSentences(*body.Sentences); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return
	}
	if !s.opt.Tilt([]byte(*body.Sentences)) {
		refuse(w, http.StatusServiceUnavailable, "it was not taken: the session is over, or too much waits to be judged")
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// checkSentences says what is wrong with a batch, or nil: it is whole lines of printable
// characters, each at most as long as a sentence is.
func checkSentences(text string) error {
	lines, whole := strings.CutSuffix(text, "\r\n")
	if !whole {
		return errors.New("got a batch that does not end with a carriage return and a line feed, want whole sentences")
	}
	list := strings.Split(lines, "\r\n")
	if len(list) > maxSentences {
		return fmt.Errorf("got %d sentences, want at most %d in a batch", len(list), maxSentences)
	}
	for _, line := range list {
		if len(line)+2 > longestSentence {
			return fmt.Errorf("got a sentence of %d characters, want at most %d with its end", len(line)+2, longestSentence)
		}
		if !strings.HasPrefix(line, "$") || strings.ContainsFunc(line, func(c rune) bool { return c < ' ' || c > '~' }) {
			return errors.New("got a line that is no sentence, want a dollar sign and printable characters")
		}
	}
	return nil
}
