package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"time"
)

// answer sends a value as JSON.
func answer(w http.ResponseWriter, code int, v any) {
	body, err := json.Marshal(v)
	if err != nil { // only a programming error can
		refuse(w, http.StatusInternalServerError, "the answer can't be made: "+err.Error())
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_, _ = w.Write(append(body, '\n')) // fails only where the client is gone
}

// problem is every answer that is not what was asked for.
type problem struct {
	Error string `json:"error"`         // a sentence
	Seq   int64  `json:"seq,omitempty"` // number of the event that says so, if one does
}

func refuse(w http.ResponseWriter, code int, sentence string) {
	answer(w, code, problem{Error: sentence})
}

// readBody reads one JSON object, or says what is wrong with it and returns
// false.
func readBody(w http.ResponseWriter, r *http.Request, to any) bool {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		refuse(w, http.StatusUnsupportedMediaType, fmt.Sprintf("got the content type %q, want application/json", shorten(r.Header.Get("Content-Type"))))
		return false
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	_ = http.NewResponseController(w).SetReadDeadline(time.Time{}) // the answer may take longer
	var long *http.MaxBytesError
	switch {
	case errors.As(err, &long):
		refuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("the body is too long, want at most %d bytes", maxBody))
		return false
	case err != nil:
		refuse(w, http.StatusBadRequest, "the body did not arrive: "+err.Error())
		return false
	}
	if err := strictly(body, to); err != nil {
		refuse(w, http.StatusBadRequest, "the body is not readable: "+err.Error())
		return false
	}
	return true
}

// strictly reads one JSON value that has only members that to has.
func strictly(body []byte, to any) error {
	if !json.Valid(body) {
		return errors.New("it is not one JSON value")
	}
	var members map[string]json.RawMessage
	if err := json.Unmarshal(body, &members); err != nil || members == nil {
		return errors.New("it is no JSON object")
	}
	reader := json.NewDecoder(bytes.NewReader(body))
	reader.DisallowUnknownFields()
	return reader.Decode(to)
}
