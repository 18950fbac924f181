package certificate

import (
	"net"
	"net/netip"
	"slices"
)

// Addresses are those by which this computer is reached from itself and from its own
// network; none where the system does not tell.
func Addresses() (list []netip.Addr) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, a := range all {
		n, ok := a.(*net.IPNet)
		if !ok {
			continue
		}
		addr, ok := netip.AddrFromSlice(n.IP)
		if addr = addr.Unmap(); ok && (addr.IsLoopback() || addr.IsPrivate()) {
			list = append(list, addr)
		}
	}
	slices.SortFunc(list, netip.Addr.Compare)
	return slices.Compact(list)
}
