package main

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/sheet"
)

// What is said of ports and the sheet's taps.
const (
	tapNotHeard   = "the sheet's tap %s (%s) is not listened to, so what it would show stays open: name its port with --%s"
	noFurtherTap  = "got the port %s for %s, but the sheet has no further %s tap; its %s taps are: %s"
	wantNamedPort = "got --%s %s, want NAME=PORT with a %s tap of the sheet, each once: %s"
)

// A flag gives the ports of one kind of tap.
var tapFlags = []struct{ flag, kind, what string }{
	{"bus", "bus", "a bus"},
	{"leads", "pulses", "a capture board"},
}

// parseTaps reads --bus and --leads, each [NAME=]PORT, against the taps of a sheet.
// board is how the line of a capture board is set.
func parseTaps(ports func(flag string) []string, board uart.Format, s *sheet.Sheet) ([]listened, error) {
	var list []listened
	for _, f := range tapFlags {
		settings := s.Protocol.Line
		if f.kind == "pulses" {
			settings = board
		}
		free := tapsOf(s, f.kind)
		for _, arg := range ports(f.flag) {
			name, path, err := cutPort(arg, f.flag, f.kind, f.what, free, tapsOf(s, f.kind))
			if err != nil {
				return nil, err
			}
			free = slices.DeleteFunc(free, func(n string) bool { return n == name })
			if slices.ContainsFunc(list, func(l listened) bool { return l.path == path }) {
				return nil, fmt.Errorf("got the port %s twice, want another one for %s", path, f.what)
			}
			list = append(list, listened{name: name, kind: f.kind, path: path, protocol: protocolOf(s, name), settings: settings})
		}
	}
	return list, nil
}

// unheard says which taps of a sheet no port was named for.
func unheard(s *sheet.Sheet, taps []listened) (list []string) {
	for _, f := range tapFlags {
		for _, name := range tapsOf(s, f.kind) {
			if !slices.ContainsFunc(taps, func(l listened) bool { return l.name == name }) {
				list = append(list, fmt.Sprintf(tapNotHeard, name, f.what, f.flag))
			}
		}
	}
	return list
}

// protocolOf is the protocol that the sheet names for a tap, "" for none.
func protocolOf(s *sheet.Sheet, tap string) string {
	for _, t := range s.Taps {
		if t.Name == tap {
			return t.Protocol
		}
	}
	return ""
}

func tapsOf(s *sheet.Sheet, kind string) (names []string) {
	for _, t := range s.Taps {
		if t.Kind == kind {
			names = append(names, t.Name)
		}
	}
	return names
}

// cutPort reads one [NAME=]PORT; free are the taps without a port yet.
func cutPort(arg, flag, kind, what string, free, all []string) (name, path string, err error) {
	name, path, named := strings.Cut(arg, "=")
	if !named {
		if len(free) == 0 {
			return "", "", fmt.Errorf(noFurtherTap, arg, what, kind, kind, orNone(all))
		}
		return free[0], arg, nil
	}
	if !slices.Contains(free, name) || path == "" {
		return "", "", fmt.Errorf(wantNamedPort, flag, arg, kind, orNone(all))
	}
	return name, path, nil
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}
