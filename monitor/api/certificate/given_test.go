package certificate

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// givenRig has the files of a certificate, and a clock.
type givenRig struct {
	cert, key string
	at        time.Time
	troubles  []string
}

// write has the files hold a certificate that was made for a test.
func (g *givenRig) write(t *testing.T, cert, key []byte) {
	require.NoError(t, os.WriteFile(g.cert, cert, 0o600))
	require.NoError(t, os.WriteFile(g.key, key, 0o600))
}

func someCertificate(t *testing.T) (cert, key []byte) {
	p, err := newAuthority([]string{"bench1"})
	require.NoError(t, err)
	cert = p.certPEM()
	return cert, p.encode()[len(cert):]
}

func newGivenRig(t *testing.T) *givenRig {
	dir := t.TempDir()
	g := &givenRig{cert: filepath.Join(dir, "cert.pem"), key: filepath.Join(dir, "key.pem"), at: time.Date(2026, 5, 2, 0, 0, 0, 0, time.UTC)}
	cert, key := someCertificate(t)
	g.write(t, cert, key)
	return g
}

func (g *givenRig) start(t *testing.T) *Given {
	given, err := newGiven(g.cert, g.key, func() time.Time { return g.at })
	require.NoError(t, err)
	return given
}

func (g *givenRig) serial(t *testing.T, given *Given) string {
	c, err := given.Get(func(err error) { g.troubles = append(g.troubles, err.Error()) })(nil)
	require.NoError(t, err)
	return c.Leaf.SerialNumber.String()
}

func TestAGivenCertificateIsReadAnewWhenItChanges(t *testing.T) {
	rig := newGivenRig(t)
	g := rig.start(t)
	first := rig.serial(t, g)
	cert, key := someCertificate(t)
	rig.write(t, cert, key)
	assert.Equal(t, first, rig.serial(t, g), "not looked at more than once a second")
	rig.at = rig.at.Add(readEvery)
	second := rig.serial(t, g)
	assert.NotEqual(t, first, second)

	require.NoError(t, os.WriteFile(rig.cert, cert[:40], 0o600)) // half written
	rig.at = rig.at.Add(readEvery)
	assert.Equal(t, second, rig.serial(t, g))
	require.Len(t, rig.troubles, 1)
	assert.Contains(t, rig.troubles[0], "the certificate that was read before is used on")
	other, otherKey := someCertificate(t)
	rig.write(t, other, key) // of which only one was exchanged yet
	rig.at = rig.at.Add(readEvery)
	assert.Equal(t, second, rig.serial(t, g))
	require.NoError(t, os.Remove(rig.key))
	rig.at = rig.at.Add(-time.Hour)
	assert.Equal(t, second, rig.serial(t, g))
	assert.Len(t, rig.troubles, 3)
	rig.write(t, other, otherKey)
	rig.at = rig.at.Add(readEvery)
	assert.NotEqual(t, second, rig.serial(t, g))
	assert.Len(t, rig.troubles, 3)
}

// While one connection waits for a disk, others get what there is.
func TestADiskThatHangsKeepsOthersFromNothing(t *testing.T) {
	rig := newGivenRig(t)
	g := rig.start(t)
	first := rig.serial(t, g)
	g.reading.Lock()
	rig.at = rig.at.Add(time.Hour)
	rig.write(t, nil, nil)
	assert.Equal(t, first, rig.serial(t, g))
	assert.Empty(t, rig.troubles)
}

func TestAGivenCertificateThatIsNone(t *testing.T) {
	rig := newGivenRig(t)
	cert, key := someCertificate(t)
	for _, c := range []struct{ cert, key []byte }{{nil, key}, {cert, nil}, {key, cert}, {[]byte("x"), key}} {
		rig.write(t, c.cert, c.key)
		_, err := NewGiven(rig.cert, rig.key)
		assert.ErrorContains(t, err, "are no certificate with its key")
	}
	_, err := NewGiven(rig.cert+"x", rig.key)
	assert.ErrorContains(t, err, "can't be read")
	_, err = NewGiven(t.TempDir(), rig.key)
	assert.ErrorContains(t, err, "can't be read")
}

func TestACertificateWhoseTimeIsOverIsDoubted(t *testing.T) {
	rig := newGivenRig(t)
	g := rig.start(t)
	assert.NoError(t, g.Expired())
	rig.at = authorityTo.Add(time.Hour)
	assert.ErrorContains(t, g.Expired(), "holds from 2025-01-01 to 2055-01-01, and it is 2055-01-01")
	rig.at = authorityFrom.Add(-time.Hour)
	assert.Error(t, g.Expired())
}
