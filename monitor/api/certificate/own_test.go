package certificate

import (
	"crypto/tls"
	"crypto/x509"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
)

// machine is a computer whose clock and addresses a test sets.
type machine struct {
	folder string
	names  []string
	at     time.Time
	has    []netip.Addr
}

func newMachine(t *testing.T) *machine {
	return &machine{
		folder: filepath.Join(t.TempDir(), "tls"), names: []string{"bench1", "bench1.local", "localhost"},
		at: time.Date(2026, 5, 2, 11, 0, 0, 0, time.UTC), has: []netip.Addr{netip.MustParseAddr("127.0.0.1"), netip.MustParseAddr("192.168.1.7")},
	}
}

func (m *machine) start(t *testing.T) *Own {
	o, err := newOwn(m.folder, m.names, func() time.Time { return m.at }, func() []netip.Addr { return m.has })
	require.NoError(t, err)
	return o
}

// connects is the certificate that a connection gets which comes in at an address.
func connects(t *testing.T, o *Own, at string) *x509.Certificate {
	c, err := o.Get(&tls.ClientHelloInfo{Conn: cameInAt{at: net.TCPAddrFromAddrPort(netip.MustParseAddrPort(at))}})
	require.NoError(t, err)
	return c.Leaf
}

// cameInAt is a connection of which only its own address is asked.
type cameInAt struct {
	net.Conn
	at net.Addr
}

func (c cameInAt) LocalAddr() net.Addr { return c.at }

// trusts is an error where somebody who trusts the authority would not believe a leaf.
func (m *machine) trusts(t *testing.T, leaf *x509.Certificate, name string) error {
	text, err := os.ReadFile(filepath.Join(m.folder, AuthorityFile))
	require.NoError(t, err)
	roots := x509.NewCertPool()
	require.True(t, roots.AppendCertsFromPEM(text))
	_, err = leaf.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: m.at})
	return err
}

func TestTheCertificateIsForThisComputer(t *testing.T) {
	m := newMachine(t)
	leaf := connects(t, m.start(t), "192.168.1.7:8025")
	for _, name := range []string{"bench1", "bench1.local", "localhost", "127.0.0.1", "192.168.1.7"} {
		assert.NoError(t, m.trusts(t, leaf, name), name)
	}
	for _, name := range []string{"bench2", "example.com", "192.168.1.8"} {
		assert.Error(t, m.trusts(t, leaf, name), name)
	}
	assert.LessOrEqual(t, leaf.NotAfter.Sub(leaf.NotBefore), 825*24*time.Hour, "phones refuse longer ones")
	m.at = m.at.Add(-time.Hour) // of a phone
	assert.NoError(t, m.trusts(t, leaf, "bench1"))
}

// The authority is made once; the leaf stays, too, as long as it does.
func TestTheAuthorityIsKept(t *testing.T) {
	m := newMachine(t)
	first := m.start(t)
	m.at = m.at.Add(100 * 24 * time.Hour)
	again := m.start(t)
	assert.Equal(t, first.Fingerprint(), again.Fingerprint())
	assert.Regexp(t, `^([0-9A-F]{2}:){31}[0-9A-F]{2}$`, again.Fingerprint())
	assert.Equal(t, first.AuthorityPath(), again.AuthorityPath())
	assert.Equal(t, connects(t, first, "127.0.0.1:1").Raw, connects(t, again, "127.0.0.1:1").Raw)

	require.NoError(t, os.Remove(first.AuthorityPath()))
	assert.FileExists(t, m.start(t).AuthorityPath(), "it is left for others anew")
}

func TestTheLeafIsRenewed(t *testing.T) {
	const minute, day = time.Minute, 24 * time.Hour
	for name, c := range map[string]struct {
		change  func(*machine)
		at      string
		renewed bool
	}{
		"nothing changed":              {func(m *machine) { m.at = m.at.Add(minute) }, "192.168.1.7:1", false},
		"an address came":              {func(m *machine) { m.at, m.has = m.at.Add(minute), append(m.has, netip.MustParseAddr("10.0.0.9")) }, "10.0.0.9:1", true},
		"and is not looked at yet":     {func(m *machine) { m.has = append(m.has, netip.MustParseAddr("10.0.0.9")) }, "192.168.1.7:1", false},
		"an address went":              {func(m *machine) { m.at, m.has = m.at.Add(minute), m.has[:1] }, "127.0.0.1:1", false},
		"one that the system hides":    {func(*machine) {}, "[2001:db8::7]:1", true},
		"one that is a mapped one":     {func(*machine) {}, "[::ffff:192.168.1.7]:1", false},
		"half of its time":             {func(m *machine) { m.at = m.at.Add(leafLasts / 2) }, "127.0.0.1:1", false},
		"a moment before its last 30d": {func(m *machine) { m.at = m.at.Add(leafLasts - leafLeft) }, "127.0.0.1:1", false},
		"its last 30 days":             {func(m *machine) { m.at = m.at.Add(leafLasts - leafLeft + 1) }, "127.0.0.1:1", true},
		"over for a year":              {func(m *machine) { m.at = m.at.Add(leafLasts + 365*day) }, "127.0.0.1:1", true},
		"the clock was set back":       {func(m *machine) { m.at = m.at.Add(-3 * day) }, "127.0.0.1:1", true},
		"the clock an hour back":       {func(m *machine) { m.at = m.at.Add(-time.Hour) }, "127.0.0.1:1", false},
	} {
		m := newMachine(t)
		o := m.start(t)
		before := connects(t, o, "192.168.1.7:1")
		c.change(m)
		after := connects(t, o, c.at)
		assert.Equal(t, c.renewed, string(before.Raw) != string(after.Raw), name)
		assert.NoError(t, m.trusts(t, after, netip.MustParseAddrPort(c.at).Addr().String()), name)
	}
}

// Addresses that strangers come in at do not fill the certificate.
func TestTheAddressesInALeafAreBounded(t *testing.T) {
	m := newMachine(t)
	o := m.start(t)
	for i := range 100 {
		connects(t, o, netip.AddrPortFrom(netip.AddrFrom4([4]byte{203, 0, 113, byte(i)}), 1).String())
	}
	leaf := connects(t, o, "203.0.113.99:1")
	assert.Len(t, leaf.IPAddresses, mostUsed+2)
	assert.NoError(t, m.trusts(t, leaf, "192.168.1.7"))
}

// Whoever gets hold of the key can't pretend to be anybody on the internet with it.
func TestTheAuthorityVouchesForItsOwnNamesOnly(t *testing.T) {
	m := newMachine(t)
	o := m.start(t)
	for name, right := range map[string]bool{"bench1.local": true, "printer.lan": true, "example.com": false, "bench2": false} {
		leaf, err := sign(&x509.Certificate{NotBefore: m.at, NotAfter: m.at.Add(time.Hour), DNSNames: []string{name}}, &o.authority.pair)
		require.NoError(t, err)
		assert.Equal(t, right, m.trusts(t, leaf.cert, name) == nil, name)
	}
	require.NoError(t, o.Others())
	m.names = append(m.names, "bench.example", "tv.local")
	o = m.start(t)
	require.ErrorContains(t, o.Others(), "before this computer was called bench.example, and")
	leaf := connects(t, o, "127.0.0.1:1")
	assert.NoError(t, m.trusts(t, leaf, "tv.local"))
	assert.NoError(t, m.trusts(t, leaf, "bench1"), "a name too many spoils none of the others")
	assert.Error(t, m.trusts(t, leaf, "bench.example"))
}

func TestTheKeyIsItsOwnersAlone(t *testing.T) {
	if runtime.GOOS == "windows" { // whose modes say nothing of other users
		return
	}
	m := newMachine(t)
	m.start(t)
	for _, name := range []string{authorityPair, leafPair} {
		info, err := os.Stat(filepath.Join(m.folder, name))
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
	}
	require.NoError(t, os.Chmod(filepath.Join(m.folder, authorityPair), 0o644))
	_, err := NewOwn(m.folder, m.names)
	require.ErrorIs(t, err, files.ErrNotPrivate)
	require.NoError(t, os.Chmod(m.folder, 0o755))
	_, err = NewOwn(m.folder, m.names)
	require.ErrorIs(t, err, files.ErrNotPrivate)
}

func TestAnAuthorityThatIsNone(t *testing.T) {
	m := newMachine(t)
	first := m.start(t)
	path := filepath.Join(m.folder, authorityPair)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	leaf, err := os.ReadFile(filepath.Join(m.folder, leafPair))
	require.NoError(t, err)
	for _, text := range []string{"", "hello", string(whole[:len(whole)/2]), string(leaf), first.AuthorityPath()} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		_, err := NewOwn(m.folder, m.names)
		assert.ErrorContains(t, err, "move that file away")
	}
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Symlink(filepath.Join(m.folder, leafPair), path))
	_, err = NewOwn(m.folder, m.names)
	require.ErrorIs(t, err, files.ErrNotPlain)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.WriteFile(filepath.Join(m.folder, leafPair), []byte("x"), 0o600))
	assert.NotEqual(t, first.Fingerprint(), m.start(t).Fingerprint(), "one is made anew, and the leaf too")
}

// Two daemons that start at once keep one authority.
func TestTwoStartAtOnce(t *testing.T) {
	m := newMachine(t)
	got := make(chan string, 8)
	for range cap(got) {
		go func() {
			o, err := NewOwn(m.folder, m.names)
			if !assert.NoError(t, err) {
				got <- ""
				return
			}
			got <- o.Fingerprint()
		}()
	}
	first := <-got
	for range cap(got) - 1 {
		assert.Equal(t, first, <-got)
	}
}
