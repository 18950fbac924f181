package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"runtime"
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
	at     net.Listener
	token  string
	names  []string
	doubts []string      // what the user may not have meant by it
	flags  string        // that ask for the same
	wrong  *atomic.Int64 // tokens that came in and were wrong
}

func addListen(cmd *cobra.Command) {
	cmd.Flags().String("listen", "", "show the session over HTTP at this address, for instance 127.0.0.1:8025")
	cmd.Flags().String("token-file", "", "file with the token that lets others set marks and lead drills over HTTP (default: nobody may)")
	cmd.Flags().StringSlice("host", nil, "with --listen: a name by which browsers reach this computer, beside its addresses; may stand several times")
}

// openListening takes the address, so that one that is taken is said before
// anything is begun.
func openListening(v *viper.Viper) (l listening, err error) {
	address := v.GetString("listen")
	if address == "" {
		return l, nil
	}
	if l.token, err = readToken(v.GetString("token-file")); err != nil {
		return l, fail(exitUsage, err)
	}
	l.wrong = new(atomic.Int64)
	l.names = v.GetStringSlice("host")
	l.flags = listenFlags(address, v.GetString("token-file"), l.names)
	if l.at, err = net.Listen("tcp", address); err != nil {
		return l, fail(exitUsage, fmt.Errorf("can't listen at %q: %w; want a free HOST:PORT such as 127.0.0.1:8025", address, err))
	}
	l.doubts = append(tokenDoubts(v.GetString("token-file")), reachDoubts(l.at.Addr(), l.token != "")...)
	return l, nil
}

// listenFlags are the flags that have another session shown at the same address.
func listenFlags(address, tokenFile string, names []string) string {
	flags := " --listen " + address
	if tokenFile != "" {
		flags += " --token-file " + tokenFile
	}
	for _, name := range names {
		flags += " --host " + name
	}
	return flags
}

// What is said of a token and an address that may not be meant so.
const (
	othersReadToken = "every user of this computer can read the token in %s, and so change things in the session; take that away with: chmod o= %s"
	othersReach     = "%s is not this computer alone: whoever reaches it may read the session, and nothing is encrypted; " +
		"--listen 127.0.0.1:PORT keeps it here"
	othersHearToken = "; the token, too, can be read on its way"
)

// tokenDoubts says that others can read the token, where the system's rights tell it.
func tokenDoubts(path string) []string {
	const readByOthers = 0o004
	info, err := os.Stat(path)
	if path == "" || err != nil || runtime.GOOS == "windows" || info.Mode().Perm()&readByOthers == 0 {
		return nil
	}
	return []string{fmt.Sprintf(othersReadToken, path, path)}
}

// reachDoubts says that an address is not loopback.
func reachDoubts(at net.Addr, token bool) []string {
	tcp, ok := at.(*net.TCPAddr)
	if !ok || tcp.IP.IsLoopback() {
		return nil
	}
	said := fmt.Sprintf(othersReach, at)
	if token {
		said += othersHearToken
	}
	return []string{said}
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
	show.Token, show.Hosts, show.WrongTokens = l.token, l.names, l.wrong
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
		notice(fmt.Errorf("the session is shown at http://%s/", l.at.Addr()))
		for _, doubt := range l.doubts {
			notice(errors.New(doubt))
		}
		start(s.Serve, l.at)
	}
	return func() {
		stop()
		serving.Wait()
	}
}
