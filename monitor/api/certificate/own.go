package certificate

import (
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"benchproof.example/monitor/files"
)

const (
	// leafPair is this machine's certificate and key as they were at the latest start: a browser
	// that was told to pass over it asks once, not at each start.
	leafPair = "computer.pem"

	leafBack  = 48 * time.Hour       // a phone's clock may be behind
	leafLasts = 180 * 24 * time.Hour // phones refuse more than 825 days
	leafLeft  = 30 * 24 * time.Hour  // one with less is renewed
	lookEvery = 5 * time.Second      // at this computer's addresses
	mostUsed  = 16                   // addresses that others came in at
)

// Own gives a certificate for this machine's names and addresses, signed by an authority of
// its own. It is renewed when a connection needs another: an address came along, its time
// runs out, or the clock was set.
type Own struct {
	authority *authority
	names     []string
	others    []string // that the authority can't vouch for
	now       func() time.Time
	addresses func() []netip.Addr

	mu     sync.Mutex
	leaf   pair
	own    []netip.Addr // of this computer
	looked time.Time    // when they were looked at
	used   []netip.Addr // that connections came in at
}

// NewOwn is the certificate for these host names, by the authority that a folder keeps; both
// are made where they are lacking. Errors are sentences.
func NewOwn(folder string, names []string) (*Own, error) {
	return newOwn(folder, names, time.Now, Addresses)
}

func newOwn(folder string, names []string, now func() time.Time, addresses func() []netip.Addr) (o *Own, err error) {
	in, err := files.MakePrivate(folder)
	if err != nil {
		return nil, fmt.Errorf("no place for the certificate authority: %w", err)
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	if err := takeLock(in); err != nil {
		return nil, err
	}
	o = &Own{now: now, addresses: addresses}
	if o.authority, err = keptAuthority(in, names); err != nil {
		return nil, err
	}
	o.names, o.others = o.authority.mayVouch(names)
	if kept, err := readPair(in, leafPair); err == nil && kept.cert.CheckSignatureFrom(o.authority.cert) == nil {
		o.leaf = kept
	}
	if renewed, err := o.renewed(nil); err != nil || !renewed {
		return o, err
	}
	return o, files.Replace(in, leafPair, o.leaf.encode())
}

// takeLock waits until no other daemon makes an authority in the folder.
func takeLock(in files.Folder) error {
	for until := time.Now().Add(lockPatience); ; time.Sleep(20 * time.Millisecond) {
		switch got, err := in.Lock(lockFile); {
		case err != nil:
			return fmt.Errorf("the certificate authority: %w", err)
		case got:
			return nil
		case time.Now().After(until):
			return fmt.Errorf("another benchproof has been at work in %s for %v: end it, and try once more", in.Path(), lockPatience)
		}
	}
}

// AuthorityPath is the file with the authority's certificate, for phones to trust.
func (o *Own) AuthorityPath() string { return filepath.Join(o.authority.folder, AuthorityFile) }

// Fingerprint is SHA-256 of the authority's certificate.
func (o *Own) Fingerprint() string { return o.authority.fingerprint() }

// Others says for which of the names there is no certificate, nil if there is one for all.
func (o *Own) Others() error {
	if len(o.others) == 0 {
		return nil
	}
	return fmt.Errorf("the certificate authority in %s was made before this computer was called %s, and vouches for the names of then alone: "+
		"browsers warn of that one; if the folder is moved away, an authority is made anew, which phones have to be told to trust once more",
		o.authority.folder, strings.Join(o.others, ", "))
}

// Get is the certificate for a connection (tls.Config.GetCertificate).
func (o *Own) Get(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if _, err := o.renewed(hello.Conn); err != nil {
		return nil, err
	}
	return &tls.Certificate{Certificate: [][]byte{o.leaf.cert.Raw, o.authority.cert.Raw}, PrivateKey: o.leaf.key, Leaf: o.leaf.cert}, nil
}

// renewed makes another leaf if the one that there is does not do for a connection; nil: for
// this computer as it is.
func (o *Own) renewed(conn net.Conn) (bool, error) {
	now := o.now()
	if age := now.Sub(o.looked); age < 0 || age >= lookEvery {
		o.own, o.looked = o.addresses(), now
	}
	o.note(conn)
	want := o.wanted()
	if o.leaf.cert != nil && serves(o.leaf.cert, o.names, want, now) {
		return false, nil
	}
	leaf, err := sign(&x509.Certificate{
		Subject:   pkix.Name{CommonName: o.authority.cert.Subject.CommonName},
		NotBefore: now.Add(-leafBack), NotAfter: now.Add(leafLasts),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true, DNSNames: o.names, IPAddresses: want,
	}, &o.authority.pair)
	if err == nil {
		o.leaf = leaf
	}
	return err == nil, err
}

// note keeps the address that a connection came in at, if it is none of those known.
func (o *Own) note(conn net.Conn) {
	if conn == nil {
		return
	}
	at, ok := conn.LocalAddr().(*net.TCPAddr)
	if !ok {
		return
	}
	addr := at.AddrPort().Addr().WithZone("").Unmap()
	if slices.Contains(o.own, addr) || slices.Contains(o.used, addr) {
		return
	}
	o.used = append(o.used, addr)
	o.used = o.used[max(0, len(o.used)-mostUsed):]
}

// wanted are the addresses that the leaf is to be for.
func (o *Own) wanted() (list []net.IP) {
	for _, addr := range slices.Concat(o.own, o.used) {
		list = append(list, addr.AsSlice())
	}
	return list
}

// serves reports whether a leaf does for these names and addresses now. One that is for more
// does, too: an address that went may come back.
func serves(leaf *x509.Certificate, names []string, addresses []net.IP, now time.Time) bool {
	if now.Before(leaf.NotBefore) || now.Add(leafLeft).After(leaf.NotAfter) {
		return false
	}
	for _, name := range names {
		if leaf.VerifyHostname(name) != nil {
			return false
		}
	}
	return !slices.ContainsFunc(addresses, func(ip net.IP) bool { return !slices.ContainsFunc(leaf.IPAddresses, ip.Equal) })
}
