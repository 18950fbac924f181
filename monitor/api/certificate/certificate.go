// Package certificate has what encrypts HTTP: a certificate for this computer by an
// authority of its own, or one that was given. Both are renewed while the server runs, when
// a connection comes: nothing here runs by itself.
package certificate

import "crypto/tls"

// Config is what a server encrypts with. It speaks HTTP/1.1, of which each connection is one
// client to its bounds.
func Config(get func(*tls.ClientHelloInfo) (*tls.Certificate, error)) *tls.Config {
	return &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: get, NextProtos: []string{"http/1.1"}}
}
