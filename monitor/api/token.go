package api

import (
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"strings"
)

const (
	minToken     = 16
	cookiePrefix = "benchproof_token_"
	tokenSigns   = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~+/="
)

// CheckToken says what is wrong with a token, or nil: it needs 16 characters or
// more, each one that may travel as a bearer token (RFC 6750, section 2.1).
func CheckToken(token string) error {
	if len(token) < minToken {
		return fmt.Errorf("the token is too short: got %d characters, want %d or more, so that nobody guesses it", len(token), minToken)
	}
	if strings.ContainsFunc(token, func(r rune) bool { return !strings.ContainsRune(tokenSigns, r) }) {
		return errors.New("the token has signs in it that can't travel in a header, want letters, digits and -._~+/= only")
	}
	return nil
}

// same compares in a time that does not report where two texts differ.
func same(got, want string) bool {
	a, b := sha256.Sum256([]byte(got)), sha256.Sum256([]byte(want))
	return subtle.ConstantTimeCompare(a[:], b[:]) == 1
}

// cookieName is that of the token's cookie. Browsers keep one set of cookies for all ports of a
// host, so the name has the port as the browser sees it: two servers of one host do not
// take each other's cookie away.
func cookieName(r *http.Request) string {
	if _, port, err := net.SplitHostPort(r.Host); err == nil && isNumber(port) {
		return cookiePrefix + port
	}
	if r.TLS != nil {
		return cookiePrefix + "443"
	}
	return cookiePrefix + "80"
}

func isNumber(text string) bool {
	_, err := strconv.ParseUint(text, 10, 16)
	return err == nil
}

// cookieValue stands for the token in a browser, from which it can't be worked
// out. It stays the same over restarts.
func (s *Server) cookieValue() string {
	m := hmac.New(sha256.New, []byte(s.opt.Token))
	m.Write([]byte("benchproof cookie"))
	return hex.EncodeToString(m.Sum(nil))
}

// hasToken reports whether a request has the token: as bearer (RFC 6750) or, since
// event streams and forms of pages carry no headers, in the cookie. given: it has one, right
// or wrong.
func (s *Server) hasToken(r *http.Request) (right, given bool) {
	scheme, token, _ := strings.Cut(r.Header.Get("Authorization"), " ")
	if strings.EqualFold(scheme, "Bearer") {
		return same(token, s.opt.Token), token != ""
	}
	c, err := r.Cookie(cookieName(r))
	return err == nil && same(c.Value, s.cookieValue()), err == nil && c.Value != ""
}

// reads reports whether a request changes nothing.
func reads(r *http.Request) bool { return r.Method == http.MethodGet || r.Method == http.MethodHead }

// checkToken lets nobody change anything over the network without the token.
func (d *door) checkToken(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case reads(r):
		case d.opt.Put == nil:
			refuse(w, http.StatusForbidden, "this server only shows: nothing can be changed through it")
			return
		case d.owner:
		case d.opt.Token == "":
			refuse(w, http.StatusForbidden, "nothing can be changed from here while no token is set: start benchproof with one")
			return
		case r.URL.Path != tokenPath && !d.checkGiven(w, r, changingNeeds):
			return
		}
		next.ServeHTTP(w, r)
	})
}

// What is said to who has no token.
const (
	changingNeeds = "that needs the token that benchproof was started with: "
	readingNeeds  = "reading, too, needs the token that benchproof was started with: "
	howToGive     = `as "Authorization: Bearer TOKEN", or give it to ` + tokenPath + " once"
)

// checkReader lets nobody read what a route shows of the session without the token, where
// that is wanted.
func (d *door) checkReader(to route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if d.opt.ReadToken && !d.owner && !to.open && reads(r) && !d.checkGiven(w, r, readingNeeds) {
			return
		}
		to.ServeHTTP(w, r)
	})
}

// checkGiven reports whether a request has the token, or refuses it.
func (d *door) checkGiven(w http.ResponseWriter, r *http.Request, needs string) bool {
	if d.knows(w, r) {
		return true
	}
	w.Header().Set("WWW-Authenticate", `Bearer realm="benchproof"`)
	refuse(w, http.StatusUnauthorized, needs+howToGive)
	return false
}

// knows reports whether a request has the token. A wrong one is a guess, and a wrong cookie,
// as an earlier token leaves it, is taken away with the answer.
func (d *door) knows(w http.ResponseWriter, r *http.Request) bool {
	right, given := d.hasToken(r)
	if !right && given {
		d.guesses.wrong(r.Context())
		if r.Header.Get("Authorization") == "" {
			setCookie(w, r, "", -1)
		}
	}
	return right
}

// mayAnswer is what the one who asks may do.
type mayAnswer struct {
	Read   bool `json:"read"`
	Change bool `json:"change"`
	Token  bool `json:"token"` // with the token it is more
}

// mayDo is what the one who asks may do.
func (d *door) mayDo(w http.ResponseWriter, r *http.Request) mayAnswer {
	knows := d.owner || d.opt.Token != "" && d.knows(w, r)
	return mayAnswer{
		Read: knows || !d.opt.ReadToken, Change: knows && d.opt.Put != nil,
		Token: !knows && d.opt.Token != "" && d.opt.Put != nil,
	}
}

func (d *door) may(w http.ResponseWriter, r *http.Request) { answer(w, http.StatusOK, d.mayDo(w, r)) }

// tokenBody is the token that a page was given.
type tokenBody struct {
	Token string `json:"token"`
}

// takeToken gives a page the cookie for the token.
func (s *Server) takeToken(w http.ResponseWriter, r *http.Request) {
	var body tokenBody
	if !readBody(w, r, &body) {
		return
	}
	if s.opt.Token == "" {
		refuse(w, http.StatusForbidden, "benchproof was started without a token: over this socket none is needed")
		return
	}
	if !same(body.Token, s.opt.Token) {
		next := s.guesses.wrong(r.Context())
		refuse(w, http.StatusUnauthorized, fmt.Sprintf("that is not the token that benchproof was started with; "+
			"the answer to another wrong one takes %g s", next.Seconds()))
		return
	}
	setCookie(w, r, s.cookieValue(), 0)
	w.WriteHeader(http.StatusNoContent)
}

// setCookie gives a browser the token's cookie, until it ends; with an age of -1 it takes it away.
func setCookie(w http.ResponseWriter, r *http.Request, value string, age int) {
	http.SetCookie(w, &http.Cookie{
		Name: cookieName(r), Value: value, Path: "/", MaxAge: age,
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
}
