package main

import (
	"net"
	"net/netip"
	"slices"
	"strings"

	"benchproof.example/monitor/api/certificate"
)

// anywhere is an address of no machine (RFC 5737): asking for the way there sends nothing.
const anywhere = "192.0.2.1:9"

// shownAt says where a browser finds the session.
func (l *listening) shownAt() string {
	hosts := l.hosts()
	for i, host := range hosts {
		hosts[i] = l.address(host)
	}
	return "the session is shown at " + strings.Join(hosts, ", ")
}

// address is the page's for a host.
func (l *listening) address(host string) string {
	scheme := "http"
	if l.encrypted != nil {
		scheme = "https"
	}
	_, port, _ := net.SplitHostPort(l.at.Addr().String())
	return scheme + "://" + net.JoinHostPort(host, port) + "/"
}

// hosts are the names and addresses by which browsers reach the session, the likeliest first:
// names that the user gave, and the address that is listened at or, where that is every one,
// those of this computer.
func (l *listening) hosts() []string {
	tcp, ok := l.at.Addr().(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		host, _, _ := net.SplitHostPort(l.at.Addr().String())
		return append(slices.Clone(l.names), host)
	}
	return slices.Concat(l.names, ownAddresses())
}

// ownAddresses are this computer's in its own network, the one that others are reached by
// first, and loopback where it has none.
func ownAddresses() (list []string) {
	addresses := certificate.Addresses()
	addresses = slices.DeleteFunc(addresses, netip.Addr.IsLoopback)
	if way, err := net.Dial("udp", anywhere); err == nil {
		if by, ok := way.LocalAddr().(*net.UDPAddr); ok {
			if i := slices.Index(addresses, by.AddrPort().Addr().Unmap()); i > 0 {
				addresses[0], addresses[i] = addresses[i], addresses[0]
			}
		}
		_ = way.Close()
	}
	for _, a := range addresses {
		list = append(list, a.String())
	}
	if len(list) == 0 {
		return []string{"localhost"}
	}
	return list
}
