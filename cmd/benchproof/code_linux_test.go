package main

import (
	"bytes"
	"net"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"rsc.io/qr"
)

// listenerAt is a listener of which only its address is asked.
type listenerAt struct {
	net.Listener
	at net.TCPAddr
}

func (l listenerAt) Addr() net.Addr { return &l.at }

// reachable is a session that others reach, with a token.
func reachable() *listening {
	return &listening{
		at:    listenerAt{at: net.TCPAddr{IP: net.IPv4(192, 168, 1, 7), Port: 8025}},
		token: "0123456789abcdef+/=~", tokenFile: "token.txt", code: true,
	}
}

// modules reads a drawn code back: true is dark. Where there are colours they are taken off.
func modules(t *testing.T, drawn []string, colours bool) (rows [][]bool) {
	dark := map[rune][2]bool{' ': {}, '▀': {true, false}, '▄': {false, true}, '█': {true, true}}
	for _, line := range drawn {
		if colours {
			require.True(t, strings.HasPrefix(line, blackOnWhite) && strings.HasSuffix(line, colourEnds), line)
			line = strings.TrimSuffix(strings.TrimPrefix(line, blackOnWhite), colourEnds)
		}
		var upper, lower []bool
		for _, sign := range line {
			pair, known := dark[sign]
			require.True(t, known, line)
			upper, lower = append(upper, pair[0] == colours), append(lower, pair[1] == colours)
		}
		rows = append(rows, upper, lower)
	}
	return rows
}

func TestACodeIsDrawnAsItIs(t *testing.T) {
	for _, text := range []string{"https://192.168.1.7:8025/#token=0123456789abcdef+/=~", strings.Repeat("x", 900)} {
		code, err := qr.Encode(text, qr.L)
		require.NoError(t, err)
		for _, colours := range []bool{true, false} {
			rows := modules(t, drawCode(code.Size, code.Black, colours), colours)
			for y := range rows {
				require.Len(t, rows[y], code.Size+2*quietZone)
				for x := range rows[y] {
					require.Equal(t, code.Black(x-quietZone, y-quietZone), rows[y][x], "%d %d", x, y)
				}
			}
		}
	}
}

func TestTheCodeIsShownOnATerminal(t *testing.T) {
	t.Setenv("NO_COLOR", "")
	t.Setenv("TERM", "xterm")
	shown := onTerminalOf(t, 80, 40, func(tty *os.File) { reachable().showCode(newPrinter(tty)) })
	assert.NotContains(t, shown, "0123456789abcdef", "as text it is nowhere")
	want, err := qr.Encode("http://192.168.1.7:8025/#token=0123456789abcdef+/=~", qr.L)
	require.NoError(t, err)
	drawn := drawCode(want.Size, want.Black, true)
	require.True(t, strings.HasPrefix(shown, strings.Join(drawn, "\n")+"\n"), shown)
	said := strings.Join(strings.Fields(strings.TrimPrefix(shown, strings.Join(drawn, "\n"))), " ")
	assert.Contains(t, said, "so does whoever photographs it: they may then do what you may")
	assert.Contains(t, said, "until you change the token in token.txt")

	small := onTerminalOf(t, 36, 24, func(tty *os.File) { reachable().showCode(newPrinter(tty)) })
	small = strings.Join(strings.Fields(small), " ")
	assert.Contains(t, small, "would be 37 columns wide and 19 lines high: it is left out")
	assert.Contains(t, small, "open http://192.168.1.7:8025/ and type the token")
}

func TestWhereNoCodeIsShown(t *testing.T) {
	for name, change := range map[string]func(*listening){
		"no token":      func(l *listening) { l.token = "" },
		"loopback":      func(l *listening) { l.at = listenerAt{at: net.TCPAddr{IP: net.IPv6loopback, Port: 1}} },
		"not wanted":    func(l *listening) { l.code = false },
		"not listening": func(l *listening) { l.at = nil },
		"too long":      func(l *listening) { l.token = strings.Repeat("x", 4000) },
	} {
		l := reachable()
		change(l)
		assert.Empty(t, onTerminalOf(t, 200, 200, func(tty *os.File) { l.showCode(tty) }), name)
	}
	var out bytes.Buffer
	reachable().showCode(&out)
	assert.Empty(t, out.String(), "what is printed into a file or a pipe has no token")
}

func TestWhereThePageIs(t *testing.T) {
	l := reachable()
	assert.Equal(t, "the session is shown at http://192.168.1.7:8025/", l.shownAt())
	l.names, l.encrypted = []string{"bench.example"}, &encryption{}
	assert.Equal(t, "the session is shown at https://bench.example:8025/, https://192.168.1.7:8025/", l.shownAt())
	l.at = listenerAt{at: net.TCPAddr{IP: net.IPv6unspecified, Port: 8025}}
	for _, host := range l.hosts()[1:] {
		assert.True(t, host == "localhost" || net.ParseIP(host).IsPrivate(), host)
	}
	assert.NotContains(t, l.shownAt(), "::]")
}
