package certificate

import (
	"bytes"
	"crypto/tls"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/files"
)

// readEvery is how soon files that were changed are noticed, by the next connection.
const readEvery = time.Second

// Given gives the certificate of two files, which are read anew when they change. As long
// as what they hold makes no certificate, the one before is used.
type Given struct {
	certFile, keyFile string
	now               func() time.Time
	current           atomic.Pointer[tls.Certificate]

	reading sync.Mutex // who does not get it uses what there is: a disk may hang
	read    time.Time
	texts   [2][]byte // of certificate and key
}

// NewGiven reads a certificate, with those that vouch for it behind it, and its key, both
// PEM. Errors are sentences.
func NewGiven(certFile, keyFile string) (*Given, error) { return newGiven(certFile, keyFile, time.Now) }

func newGiven(certFile, keyFile string, now func() time.Time) (*Given, error) {
	g := &Given{certFile: certFile, keyFile: keyFile, now: now}
	return g, g.load()
}

// Expired says that the certificate's time is over, or has not come.
func (g *Given) Expired() error {
	leaf, now := g.current.Load().Leaf, g.now()
	if now.Before(leaf.NotBefore) || now.After(leaf.NotAfter) {
		return fmt.Errorf("the certificate in %s holds from %s to %s, and it is %s: browsers will refuse it",
			g.certFile, leaf.NotBefore.Format(time.DateOnly), leaf.NotAfter.Format(time.DateOnly), now.UTC().Format(time.DateOnly))
	}
	return nil
}

// Get gives the certificate for a connection (tls.Config.GetCertificate). trouble is called with
// what is wrong with files that were changed; it must not block.
func (g *Given) Get(trouble func(error)) func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	return func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
		if err := g.look(); err != nil {
			trouble(fmt.Errorf("%w; the certificate that was read before is used on", err))
		}
		return g.current.Load(), nil
	}
}

// look reads the files where that is due and nobody else does.
func (g *Given) look() error {
	if !g.reading.TryLock() {
		return nil
	}
	defer g.reading.Unlock()
	if age := g.now().Sub(g.read); age >= 0 && age < readEvery {
		return nil
	}
	return g.load()
}

// load reads the files and takes what they hold if it is new.
func (g *Given) load() error {
	g.read = g.now()
	var texts [2][]byte
	for i, path := range []string{g.certFile, g.keyFile} {
		text, err := files.ReadNamed(path, files.MaxText)
		if err != nil {
			return fmt.Errorf("the certificate for HTTPS can't be read: %w", err)
		}
		texts[i] = text
	}
	if bytes.Equal(texts[0], g.texts[0]) && bytes.Equal(texts[1], g.texts[1]) {
		return nil
	}
	c, err := tls.X509KeyPair(texts[0], texts[1])
	if err != nil {
		return fmt.Errorf("%s and %s are no certificate with its key: %w", g.certFile, g.keyFile, err)
	}
	g.texts = texts
	g.current.Store(&c)
	return nil
}
