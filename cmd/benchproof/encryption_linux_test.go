package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"io"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
)

func TestSettingsThatMakeNoSenseTogether(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	require.NoError(t, os.WriteFile("token", []byte(attackToken), 0o600))
	const listen = "--listen=127.0.0.1:0"
	for want, flags := range map[string][]string{
		"got --tls without --listen":                  {"--tls"},
		"got --tls-cert without --listen":             {"--tls-cert=a", "--tls-key=b"},
		"got --read-token without --listen":           {"--read-token", "--token-file=token"},
		"there is no token that reading could need":   {listen, "--read-token"},
		"got --tls with --tls-cert":                   {listen, "--tls", "--tls-cert=a", "--tls-key=b"},
		"got one of --tls-cert and --tls-key":         {listen, "--tls-cert=a"},
		"got one of --tls-cert and --tls-key, want b": {listen, "--tls-key=a"},
		"the certificate for HTTPS can't be read":     {listen, "--tls-cert=a", "--tls-key=b"},
		"are no certificate with its key":             {listen, "--tls-cert=token", "--tls-key=token"},
		"want a host name":                            {listen, "--tls", "--host=a:b"},
	} {
		code, _, talk := call(t, append([]string{"watch", "--bus=none"}, flags...)...)
		assert.Equal(t, exitUsage, code, want)
		assert.Contains(t, talk, want)
	}
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing is begun")
}

// encrypted is a demo that is shown over HTTPS, with what it says.
func encrypted(t *testing.T, flags ...string) (address string, talk func() string) {
	said := &lockedBuffer{}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan int, 1)
	args := append([]string{"demo", "--listen", "127.0.0.1:0"}, flags...)
	go func() { ended <- run(ctx, args, io.Discard, said) }()
	t.Cleanup(func() {
		stop()
		assert.Equal(t, exitInterrupted, <-ended, said.String())
	})
	shownAt := regexp.MustCompile(`shown at (https://127\.0\.0\.1:\d+/)`)
	require.Eventually(t, func() bool {
		found := shownAt.FindStringSubmatch(said.String())
		if found != nil {
			address = found[1]
		}
		return found != nil
	}, 30*time.Second, 5*time.Millisecond)
	return address, said.String
}

// Who trusts the authority that the terminal names is shown the session over HTTPS.
func TestHTTPSByAnAuthorityOfItsOwn(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("STATE_DIRECTORY", "")
	require.NoError(t, os.WriteFile("token", []byte(attackToken), 0o600))
	address, talk := encrypted(t, "--tls", "--token-file", "token", "--read-token")
	told := regexp.MustCompile(`which is in (\S+): .* before you trust it: (\S+)`)
	require.Eventually(t, func() bool { return told.MatchString(talk()) }, 10*time.Second, time.Millisecond)
	found := told.FindStringSubmatch(talk())
	text, err := os.ReadFile(found[1])
	require.NoError(t, err)
	block, _ := pem.Decode(text)
	require.NotNil(t, block)
	assert.Equal(t, strings.ReplaceAll(fmt.Sprintf("% X", sha256.Sum256(block.Bytes)), " ", ":"), found[2])

	roots := x509.NewCertPool()
	require.True(t, roots.AppendCertsFromPEM(text))
	trusts := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	defer trusts.CloseIdleConnections()
	ask := func(method, path, body string, headers ...string) *http.Response {
		r, err := http.NewRequestWithContext(t.Context(), method, address+path, bytes.NewReader([]byte(body)))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		for _, h := range headers {
			name, value, _ := strings.Cut(h, ": ")
			r.Header.Set(name, value)
		}
		got, err := trusts.Do(r)
		require.NoError(t, err)
		_, _ = io.Copy(io.Discard, got.Body)
		require.NoError(t, got.Body.Close())
		return got
	}
	assert.Equal(t, 401, ask("GET", "api/state", "").StatusCode)
	assert.Equal(t, 200, ask("GET", "api/state", "", "Authorization: Bearer "+attackToken).StatusCode)
	got := ask("POST", "api/token", `{"token":"`+attackToken+`"}`)
	require.Equal(t, 204, got.StatusCode)
	require.Len(t, got.Cookies(), 1)
	cookie := got.Cookies()[0]
	assert.True(t, cookie.Secure)
	assert.Regexp(t, `^benchproof_token_\d+$`, cookie.Name)
	assert.Equal(t, 200, ask("GET", "api/state", "", "Cookie: "+cookie.Name+"="+cookie.Value).StatusCode)
	assert.Empty(t, got.Header.Get("Strict-Transport-Security"), "the same host may have other ports, without")
	assert.Equal(t, "HTTP/1.1", got.Proto)

	stranger := &http.Client{Transport: &http.Transport{}}
	defer stranger.CloseIdleConnections()
	_, err = stranger.Get(address)
	require.ErrorContains(t, err, "certificate")
	plain, err := stranger.Get(strings.Replace(address, "https", "http", 1))
	require.NoError(t, err)
	assert.Equal(t, 400, plain.StatusCode, "what is not encrypted is not served")
	require.NoError(t, plain.Body.Close())
	require.Eventually(t, func() bool { return strings.Contains(talk(), "does not trust the certificate") }, 10*time.Second, time.Millisecond)
	assert.NotContains(t, talk(), "handshake")
}

// A service keeps the authority with its own files.
func TestWhereTheAuthorityIsKept(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", "/home/ann/.config")
	t.Setenv("STATE_DIRECTORY", "")
	folder, err := authorityFolder()
	require.NoError(t, err)
	assert.Equal(t, "/home/ann/.config/benchproof/tls", folder)
	t.Setenv("STATE_DIRECTORY", "/var/lib/benchproof/reedwing:/var/lib/other")
	folder, err = authorityFolder()
	require.NoError(t, err)
	assert.Equal(t, "/var/lib/benchproof/reedwing/tls", folder)
	t.Setenv("STATE_DIRECTORY", "")
	t.Setenv("XDG_CONFIG_HOME", "")
	t.Setenv("HOME", "")
	_, err = authorityFolder()
	require.ErrorContains(t, err, "no place to keep a certificate authority")
}
