package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/sheet"
)

// What is said of ports and the sheet's taps.
const (
	tapNotHeard  = "the sheet's tap %s (%s) is not listened to, so what it would show stays open: name its port with --%s"
	noFurtherTap = "got the port %s for %s, but the sheet has no further %s tap; its %s taps are: %s"
	noPortNamed  = "what to listen to? name the adapter's port with --bus PORT, the capture board's with --leads PORT (benchproof ports " +
		"lists them), and the model's sheet with --sheet FILE, if there is one"
	wantTapName   = "got --%s %s, want NAME=PORT, each name once, of letters, digits, - and _ behind a letter"
	oneBoard      = "got %d ports for --leads, want one capture board a model"
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
	return append(list, phonesOf(s)...), nil
}

// phonesOf are the taps that come in by HTTP: no port is named for them.
func phonesOf(s *sheet.Sheet) (list []listened) {
	for _, name := range tapsOf(s, "tilt") {
		list = append(list, listened{name: name, kind: "tilt"})
	}
	return list
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

// listeningTaps are the taps of a session without a sheet, by the ports that are named: one
// without a name is called main, or by its number; a capture board is called leads.
func listeningTaps(ports func(flag string) []string) (list []sheet.Tap, err error) {
	for _, f := range tapFlags {
		args := ports(f.flag)
		if f.kind == "pulses" && len(args) > 1 {
			return nil, fmt.Errorf(oneBoard, len(args))
		}
		for i, arg := range args {
			name, _, named := strings.Cut(arg, "=")
			switch {
			case named:
			case f.kind == "pulses":
				name = "leads"
			case i == 0:
				name = "main"
			default:
				name = fmt.Sprintf("bus-%d", i+1)
			}
			if !sheet.IsName(name) || slices.ContainsFunc(list, func(t sheet.Tap) bool { return t.Name == name }) {
				return nil, fmt.Errorf(wantTapName, f.flag, arg)
			}
			list = append(list, sheet.Tap{Name: name, Kind: f.kind})
		}
	}
	if len(list) == 0 {
		return nil, errors.New(noPortNamed)
	}
	return list, nil
}
