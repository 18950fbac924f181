package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"benchproof.example/monitor/api"
	sessionsocket "benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
)

// listening is how a sitting is shown over the network; without an address it is not.
type listening struct {
	at        net.Listener
	token     string
	tokenFile string
	flags     string // that ask for the same
	readToken bool
	encrypted *encryption // nil: nothing is
	names     []string
	code      bool          // a code for the camera of a phone is shown
	doubts    []string      // what the user may not have meant by it
	wrong     *atomic.Int64 // tokens that came in and were wrong
}

func addListen(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.String("listen", "", "show the session over HTTP at this address, for instance 127.0.0.1:8025")
	flags.String("token-file", "", "file with the token that lets others set marks and lead drills over HTTP (default: nobody may)")
	flags.Bool("read-token", false, "with --token-file: reading over HTTP needs the token, too")
	flags.Bool("tls", false, "with --listen: HTTPS, by a certificate authority of this computer's own, which phones can be told to trust")
	flags.String("tls-cert", "", "with --listen: HTTPS by the certificate in this file (PEM); wants --tls-key")
	flags.String("tls-key", "", "file with the private key of --tls-cert (PEM)")
	flags.Bool("qr", true, "show a code from which a phone gets address and token, where other computers reach the address and a token is set")
	flags.StringSlice("host", nil, "with --listen: a name by which browsers reach this computer, beside its addresses; may stand several times")
}

// openListening takes the address, so that one that is taken is said before
// anything is begun.
func openListening(v *viper.Viper) (l listening, err error) {
	address := v.GetString("listen")
	if err := checkListening(v); err != nil || address == "" {
		return l, fail(exitUsage, err)
	}
	l = listening{
		tokenFile: v.GetString("token-file"), readToken: v.GetBool("read-token"), names: v.GetStringSlice("host"),
		code: v.GetBool("qr"), wrong: new(atomic.Int64),
	}
	if l.token, err = readToken(l.tokenFile); err != nil {
		return l, fail(exitUsage, err)
	}
	if l.encrypted, err = encryptionOf(v); err != nil {
		return l, fail(exitUsage, err)
	}
	l.flags = listenFlags(v)
	if l.at, err = net.Listen("tcp", address); err != nil {
		return l, fail(exitUsage, fmt.Errorf("can't listen at %q: %w; want a free HOST:PORT such as 127.0.0.1:8025", address, err))
	}
	l.doubts = append(secretDoubts(l.tokenFile, othersReadToken), l.encrypted.doubts()...)
	l.doubts = append(l.doubts, l.reachDoubts(l.at.Addr())...)
	return l, nil
}

// listenFlags are the flags that have another session shown as this one is.
func listenFlags(v *viper.Viper) (flags string) {
	for _, name := range []string{"listen", "token-file", "tls-cert", "tls-key"} {
		if value := v.GetString(name); value != "" {
			flags += " --" + name + " " + value
		}
	}
	for _, name := range []string{"read-token", "tls"} {
		if v.GetBool(name) {
			flags += " --" + name
		}
	}
	for _, name := range v.GetStringSlice("host") {
		flags += " --host " + name
	}
	return flags
}

// checkListening refuses settings that make no sense together.
func checkListening(v *viper.Viper) error {
	given := func(name string) bool {
		return v.GetBool(name) || v.GetString(name) != "" && v.GetString(name) != "false"
	}
	for _, name := range []string{"tls", "tls-cert", "tls-key", "read-token"} {
		if given(name) && !given("listen") {
			return fmt.Errorf("got --%s without --listen: nothing is shown over the network; name an address, such as --listen 127.0.0.1:8025", name)
		}
	}
	switch {
	case given("read-token") && !given("token-file"):
		return errors.New("got --read-token without --token-file: there is no token that reading could need")
	case given("tls") && (given("tls-cert") || given("tls-key")):
		return errors.New("got --tls with --tls-cert or --tls-key: either this computer makes a certificate (--tls), or you give one (both others)")
	case given("tls-cert") != given("tls-key"):
		return errors.New("got one of --tls-cert and --tls-key, want both: a certificate is of no use without its key")
	}
	return nil
}

// What is said of a token and an address that may not be meant so.
const (
	othersReadToken = "every user of this computer can read the token in %s, and so change things in the session; take that away with: chmod o= %s"
	othersReadKey   = "every user of this computer can read the private key in %s, and so pretend to be it; take that away with: chmod o= %s"
	othersReach     = "%s is not this computer alone: %s; --listen 127.0.0.1:PORT keeps it here"
	othersRead      = "whoever reaches it may read the session (--read-token asks for the token)"
	othersHear      = "nothing is encrypted (--tls does that)"
	othersHearToken = "nothing is encrypted (--tls does that), so the token, too, can be read on its way"
)

// secretDoubts says that others can read a file, where the system's rights tell it.
func secretDoubts(path, sentence string) []string {
	const readByOthers = 0o004
	info, err := os.Stat(path)
	if path == "" || err != nil || runtime.GOOS == "windows" || info.Mode().Perm()&readByOthers == 0 {
		return nil
	}
	return []string{fmt.Sprintf(sentence, path, path)}
}

// reachDoubts says what it means that an address is not loopback.
func (l *listening) reachDoubts(at net.Addr) []string {
	if isLoopback(at) {
		return nil
	}
	var parts []string
	if !l.readToken {
		parts = append(parts, othersRead)
	}
	switch {
	case l.encrypted != nil:
	case l.token != "":
		parts = append(parts, othersHearToken)
	default:
		parts = append(parts, othersHear)
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{fmt.Sprintf(othersReach, at, strings.Join(parts, ", and "))}
}

func isLoopback(at net.Addr) bool {
	tcp, ok := at.(*net.TCPAddr)
	return !ok || tcp.IP.IsLoopback()
}

func readToken(path string) (string, error) {
	if path == "" {
		return "", nil
	}
	text, err := files.ReadNamed(path, files.MaxText)
	if err != nil {
		return "", fmt.Errorf("the token can't be read: %w", err)
	}
	token := strings.TrimSpace(string(text))
	if err := api.CheckToken(token); err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	return token, nil
}

// close lets go of the address if nothing was served.
func (l *listening) close() {
	if l.at != nil {
		_ = l.at.Close()
	}
}

// server makes the server of a session, which shows what the options say already.
func (l *listening) server(live *session.Live, folder session.Folder, show api.Options) (*api.Server, error) {
	now := func() state.State {
		s := live.State()
		if l.wrong != nil {
			s.WrongTokens = l.wrong.Load()
		}
		return s
	}
	show.State, show.Metrics, show.Watched, show.Traces = now, metrics.Handler(now), live.LookClosely, live.Traces()
	show.Journal = func() (io.ReadSeekCloser, error) { return openTimeline(folder) }
	show.Put = func(kind event.InputKind, data []byte) (int64, bool) { return live.Seq.Put(event.BenchTap, kind, data) }
	show.Token, show.ReadToken, show.Hosts, show.WrongTokens = l.token, l.readToken, l.names, l.wrong
	return api.New(show)
}

// serve runs the server on the socket in the session's folder, and at the address if one
// was given, until end is called, past the end of ctx, so that the last events are still
// shown. Without either the session goes on.
func (l *listening) serve(ctx context.Context, s *api.Server, folder session.Folder, notice func(error)) (end func()) {
	ctx, stop := context.WithCancel(context.WithoutCancel(ctx))
	var serving sync.WaitGroup
	start := func(serve func(context.Context, net.Listener) error, at net.Listener) {
		serving.Go(func() {
			if err := serve(ctx, at); err != nil {
				notice(err)
			}
		})
	}
	if at, err := sessionsocket.Listen(string(folder)); err != nil {
		notice(err)
	} else {
		start(s.ServeOwner, at)
	}
	if l.at != nil {
		for _, said := range slices.Concat([]string{l.shownAt()}, l.encrypted.about(), l.doubts) {
			notice(errors.New(said))
		}
		start(s.Serve, l.encrypted.wrap(l.at, notice))
	}
	return func() {
		stop()
		serving.Wait()
	}
}
