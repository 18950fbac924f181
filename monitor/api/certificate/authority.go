package certificate

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/files"
)

// AuthorityFile is the authority's certificate (PEM), for phones and other computers to
// trust; authorityPair is that and its private key.
const (
	AuthorityFile = "authority.crt"
	authorityPair = "authority.pem"
	lockFile      = "lock"
)

// lockPatience is how long another daemon may have the folder, which takes milliseconds.
const lockPatience = 2 * time.Second

// The authority's dates belong to no clock: a computer may be begun with a wrong one.
var (
	authorityFrom = time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	authorityTo   = time.Date(2055, 1, 1, 0, 0, 0, 0, time.UTC)
)

// localDomains are names that nobody can have on the internet; the authority can vouch for
// those, for the names that it was made for, and for addresses.
var localDomains = []string{"localhost", "local", "lan", "internal", "home.arpa"}

// authority is an own certificate authority. Its key signs nothing but certificates of this
// machine, and who trusts it trusts it with no name of the internet.
type authority struct {
	pair
	folder string
}

// keptAuthority is the authority of a folder, made where there is none.
func keptAuthority(in files.Folder, names []string) (*authority, error) {
	p, err := readPair(in, authorityPair)
	if errors.Is(err, fs.ErrNotExist) {
		p, err = newAuthority(names)
		if err == nil {
			err = files.Replace(in, authorityPair, p.encode())
		}
	}
	if err != nil {
		return nil, fmt.Errorf("the certificate authority in %s: %w", in.Path(), err)
	}
	if !p.cert.IsCA {
		return nil, fmt.Errorf("%s is the certificate of no authority: move that file away, and one is made",
			filepath.Join(in.Path(), authorityPair))
	}
	return &authority{p, in.Path()}, keepForOthers(in, p.certPEM())
}

// keepForOthers leaves the certificate in a file without the key, to be carried to phones.
func keepForOthers(in files.Folder, certificate []byte) error {
	old, err := files.Read(in, AuthorityFile, files.MaxText)
	if err == nil && bytes.Equal(old, certificate) {
		return nil
	}
	return files.Replace(in, AuthorityFile, certificate)
}

func newAuthority(names []string) (pair, error) {
	domains := slices.Clone(localDomains)
	for _, name := range names {
		if !slices.Contains(domains, name) {
			domains = append(domains, name)
		}
	}
	of := "a bench"
	if i := slices.IndexFunc(names, func(name string) bool { return name != "localhost" }); i >= 0 {
		of = names[i]
	}
	template := &x509.Certificate{
		Subject:   pkix.Name{CommonName: "benchproof at " + of},
		NotBefore: authorityFrom, NotAfter: authorityTo,
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage:                    x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: domains,
	}
	return sign(template, nil)
}

// fingerprint is SHA-256 of the certificate, as phones and browsers show it.
func (a *authority) fingerprint() string {
	sum := sha256.Sum256(a.cert.Raw)
	return strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":")
}

// mayVouch are the names that the authority can vouch for, and those that it can't.
func (a *authority) mayVouch(names []string) (may, not []string) {
	for _, name := range names {
		if slices.ContainsFunc(a.cert.PermittedDNSDomains, func(d string) bool { return name == d || strings.HasSuffix(name, "."+d) }) {
			may = append(may, name)
		} else {
			not = append(not, name)
		}
	}
	return may, not
}

// pair is a certificate and its private key.
type pair struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// sign makes a certificate with a key of its own, signed by an authority, or by itself.
func sign(template *x509.Certificate, by *pair) (p pair, err error) {
	if p.key, err = ecdsa.GenerateKey(elliptic.P256(), rand.Reader); err != nil {
		return p, err
	}
	if template.SerialNumber, err = rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120)); err != nil {
		return p, err
	}
	parent, key := template, p.key
	if by != nil {
		parent, key = by.cert, by.key
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, parent, &p.key.PublicKey, key)
	if err != nil {
		return p, err
	}
	p.cert, err = x509.ParseCertificate(raw)
	return p, err
}

const (
	certificateBlock = "CERTIFICATE"
	keyBlock         = "EC PRIVATE KEY"
)

func (p *pair) certPEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: certificateBlock, Bytes: p.cert.Raw})
}

// encode is both, as PEM.
func (p *pair) encode() []byte {
	key, err := x509.MarshalECPrivateKey(p.key)
	if err != nil { // only for a curve that nobody here uses
		return nil
	}
	return append(p.certPEM(), pem.EncodeToMemory(&pem.Block{Type: keyBlock, Bytes: key})...)
}

// readPair reads what encode wrote.
func readPair(in files.Folder, name string) (p pair, err error) {
	text, err := files.Read(in, name, files.MaxText)
	if err != nil {
		return p, err
	}
	unreadable := fmt.Errorf("%s holds no certificate with its key: move that file away, and one is made", filepath.Join(in.Path(), name))
	certificate, rest := pem.Decode(text)
	key, _ := pem.Decode(rest)
	if certificate == nil || key == nil || certificate.Type != certificateBlock || key.Type != keyBlock {
		return p, unreadable
	}
	cert, err := x509.ParseCertificate(certificate.Bytes)
	private, err2 := x509.ParseECPrivateKey(key.Bytes)
	if err = errors.Join(err, err2); err != nil {
		return p, fmt.Errorf("%w: %w", unreadable, err)
	}
	if !private.PublicKey.Equal(cert.PublicKey) {
		return p, unreadable
	}
	return pair{cert, private}, nil
}
