package api

import (
	"fmt"
	"maps"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"slices"
	"strings"
)

// A page of somebody else, opened in a browser on this network, can have its own
// name resolved to our address and would then be let in as if it were ours. So
// only names are answered to that nobody else can hand out, and addresses.

// OwnNames are the names that a server answers to beside addresses, sorted: those of this
// computer and those that were configured. An error says what is wrong with one of these.
func OwnNames(configured []string) ([]string, error) {
	names, err := ownNames(configured)
	return slices.Sorted(maps.Keys(names)), err
}

func ownNames(configured []string) (map[string]bool, error) {
	names := map[string]bool{"localhost": true}
	if name, err := os.Hostname(); err == nil && name != "" {
		names[plainName(name)] = true
		names[plainName(name)+".local"] = true // how neighbours call it (RFC 6762)
	}
	for _, c := range configured {
		name := plainName(c)
		if name == "" || strings.ContainsAny(name, "/:*@?# ") {
			return nil, fmt.Errorf("got the name %q to answer to, want a host name without scheme and port, such as bench.example", c)
		}
		names[name] = true
	}
	return names, nil
}

func plainName(name string) string { return strings.ToLower(strings.TrimSuffix(name, ".")) }

// hostOnly takes the port off.
func hostOnly(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		return name
	}
	return strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
}

// mine reports whether a Host is this server's. local is the address that the
// connection came in at.
func (s *Server) mine(host string, local net.Addr) bool {
	name := hostOnly(host)
	addr, err := netip.ParseAddr(name)
	if err != nil {
		return s.hosts[plainName(name)]
	}
	addr = addr.WithZone("").Unmap()
	if addr.IsLoopback() || addr.IsPrivate() || addr.IsLinkLocalUnicast() {
		return true
	}
	at, ok := local.(*net.TCPAddr)
	return ok && at.AddrPort().Addr().WithZone("").Unmap() == addr
}

func (s *Server) checkHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		local, _ := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
		if !s.mine(r.Host, local) {
			refuse(w, http.StatusMisdirectedRequest, fmt.Sprintf(
				"this is not %q: use the address of this machine or localhost, or configure that name", shorten(hostOnly(r.Host))))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// checkOrigin refuses what a page of another origin asks for, reading included.
// What comes without Origin is left to http.CrossOriginProtection and the token. No page
// is meant to change anything over the socket, where there is no token: what leads there
// from a browser was set up by somebody for something else.
func (d *door) checkOrigin(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(foreignOrigin))
	next = protection.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, fromPage := r.Header["Origin"]
		if d.owner && fromPage && !reads(r) {
			refuse(w, http.StatusForbidden, "a page asks for this: nothing can be changed from a page over the session's socket")
			return
		}
		if origin := r.Header.Get("Origin"); origin != "" {
			u, err := url.Parse(origin)
			if err != nil || u.Host == "" || !strings.EqualFold(u.Host, r.Host) {
				foreignOrigin(w, r)
				return
			}
		}
		next.ServeHTTP(w, r)
	})
}

func foreignOrigin(w http.ResponseWriter, _ *http.Request) {
	refuse(w, http.StatusForbidden, "a page of another origin asks for this: only pages of this server may")
}
