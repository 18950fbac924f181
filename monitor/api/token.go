package api

import (
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strings"
)

const (
	minToken   = 16
	cookieName = "benchproof_token"
	tokenSigns = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~+/="
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
	c, err := r.Cookie(cookieName)
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
		case r.URL.Path != tokenPath && !d.mayChange(w, r):
			return
		}
		next.ServeHTTP(w, r)
	})
}

// mayChange reports whether a request has the token, or refuses it.
func (d *door) mayChange(w http.ResponseWriter, r *http.Request) bool {
	right, given := d.hasToken(r)
	if right {
		return true
	}
	if given {
		d.guesses.wrong(r.Context())
	}
	w.Header().Set("WWW-Authenticate", `Bearer realm="benchproof"`)
	refuse(w, http.StatusUnauthorized, "that needs the token that benchproof was started with: "+
		`as "Authorization: Bearer TOKEN", or give it to `+tokenPath+" once")
	return false
}

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
		s.guesses.wrong(r.Context())
		refuse(w, http.StatusUnauthorized, "that is not the token that benchproof was started with")
		return
	}
	http.SetCookie(w, &http.Cookie{
		Name: cookieName, Value: s.cookieValue(), Path: "/",
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
	w.WriteHeader(http.StatusNoContent)
}
