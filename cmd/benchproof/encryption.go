package main

import (
	"crypto/tls"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/viper"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/certificate"
)

// encryption is how HTTP is encrypted; nil: it is not. One of its members is set.
type encryption struct {
	own   *certificate.Own   // by this computer's own authority
	given *certificate.Given // by files
	key   string             // file of the given one's key
}

// ownAuthority is said of the certificate authority.
const ownAuthority = "a browser warns of this computer's certificate until it trusts the authority that made it, which is in %s: " +
	"carry that file to the phone, and compare its fingerprint (SHA-256) before you trust it: %s"

// encryptionOf makes ready what the settings ask for, nil for none.
func encryptionOf(v *viper.Viper) (*encryption, error) {
	if file := v.GetString("tls-cert"); file != "" {
		key := v.GetString("tls-key")
		given, err := certificate.NewGiven(file, key)
		return &encryption{given: given, key: key}, err
	}
	if !v.GetBool("tls") {
		return nil, nil
	}
	names, err := api.OwnNames(v.GetStringSlice("host"))
	if err != nil {
		return nil, err
	}
	folder, err := authorityFolder()
	if err != nil {
		return nil, err
	}
	own, err := certificate.NewOwn(folder, names)
	return &encryption{own: own}, err
}

// authorityFolder is where the authority is kept: with a service's own files, which the
// service manager names, else with the user's settings.
func authorityFolder() (string, error) {
	if state, _, _ := strings.Cut(os.Getenv("STATE_DIRECTORY"), ":"); state != "" {
		return filepath.Join(state, "tls"), nil
	}
	config, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("there is no place to keep a certificate authority in: %w; give a certificate with --tls-cert and --tls-key", err)
	}
	return filepath.Join(config, "benchproof", "tls"), nil
}

// wrap has a listener encrypt. trouble is told what goes wrong; it must not block.
func (e *encryption) wrap(l net.Listener, trouble func(error)) net.Listener {
	switch {
	case e == nil:
		return l
	case e.own != nil:
		return tls.NewListener(l, certificate.Config(e.own.Get))
	default:
		return tls.NewListener(l, certificate.Config(e.given.Get(trouble)))
	}
}

// about is what is to be known of the certificate.
func (e *encryption) about() []string {
	if e == nil || e.own == nil {
		return nil
	}
	return []string{fmt.Sprintf(ownAuthority, e.own.AuthorityPath(), e.own.Fingerprint())}
}

// doubts are what the user may not have meant.
func (e *encryption) doubts() (list []string) {
	var err error
	switch {
	case e == nil:
	case e.own != nil:
		err = e.own.Others()
	case e.given != nil:
		list = secretDoubts(e.key, othersReadKey)
		err = e.given.Expired()
	}
	if err != nil {
		list = append(list, err.Error())
	}
	return list
}
