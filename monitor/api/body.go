package api

import (
	"fmt"
	"io"
	"net/http"
	"time"
)

// A body that stays away holds a connection for ever unless it has a deadline, whether the
// handler reads it or not: what was not read net/http reads before it answers, and again
// behind the answer.

// bodyInTime answers a request whose body has a deadline. What only reads has no use for a
// body and waits for its end just so long that a short one is over; so does what is refused
// before its body was read, and if the body is longer, the connection is closed.
func (d *door) bodyInTime(next http.Handler, w http.ResponseWriter, r *http.Request) {
	if r.Body == nil || r.Body == http.NoBody {
		next.ServeHTTP(w, r)
		return
	}
	control := http.NewResponseController(w)
	if !reads(r) {
		_ = control.SetReadDeadline(time.Now().Add(bodyPatience))
		next.ServeHTTP(w, r)
		_ = control.SetReadDeadline(time.Now().Add(refusedPatience))
		return
	}
	_ = control.SetReadDeadline(time.Now().Add(refusedPatience))
	if n, err := io.Copy(io.Discard, io.LimitReader(r.Body, maxBody+1)); err != nil || n > maxBody {
		w.Header().Set("Connection", "close")
		refuse(w, http.StatusBadRequest, fmt.Sprintf("the body did not come to its end: a %s needs none", shorten(r.Method)))
		return
	}
	_ = control.SetReadDeadline(time.Time{}) // what follows may be a stream
	next.ServeHTTP(w, r)
}
