// Package doctor looks at what a computer must have so that benchproof can listen on it, and
// says what is to be mended and how. It opens no port.
package doctor

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

// State says what is to be done about a finding.
type State string

// The states.
const (
	Fine State = "fine"
	Note State = "note" // good to know; nothing is to be done
	Mend State = "mend"
)

// Finding is one thing that was looked at.
type Finding struct {
	What  string `json:"what"`  // a word for scripts: "version", "port", "disk", "clock", "sheet"
	State State  `json:"state"` // "fine", "note" or "mend"
	Says  string `json:"says"`  // a sentence: how it is, and where it is to be mended, how
}

// What is said of a computer.
const (
	noPort = "there is no serial port: plug the adapter in, with a cable that carries data; a virtual machine or a container must be " +
		"given the port"
	portMissing  = "there is no port %s: plug the adapter in, or name another one (benchproof ports lists them)"
	portUnlisted = "%s is there and can be used, but it is none of the serial ports that the system lists (a simulated port is not), so whether " +
		"you may open it shows when watch or explain opens it"
	noAdapter   = "no USB adapter is plugged in, or none that the system knows as a serial port"
	portFine    = "%s can be listened to"
	portUnknown = "%s is there; whether you may open it can't be seen on this system before it is opened"
	portOther   = "%s: %s. It is not the adapter of a bench, as far as can be seen, so nothing is to be done unless you mean it"
	waits       = "%s hands over what it heard only each %s; watch asks for the shortest when it opens the port"

	folderShut = "nothing can be written in %s (%v): work in another folder, or name one with --session"
	roomLess   = "the disk has room for less than a day of recording: make room, or work on another disk; when it is full, watching goes on " +
		"and the recording stops"
	roomDays    = "sessions can be written, and the disk has room for %s of recording"
	roomUnknown = "sessions can be written; how much room the disk has can't be seen here"

	clockFine    = "the clock is set by a time server"
	clockUnknown = "the clock did not jump while it was looked at; whether a time server sets it can't be seen on this system"
	clockAlone   = "no time server sets the clock, so dates in timelines and reports may be off; what is measured is not. Connect to the " +
		"network, and have the clock set: sudo timedatectl set-ntp true"
	clockJumped = "the clock jumped by %s while it was looked at: more than one program may set it. Stop all but one; dates in timelines " +
		"and reports are wrong until then, what is measured is not"
)

// Ports are the findings about serial ports. named are those that are to be listened to;
// without any, those of USB adapters are what is meant.
func Ports(list []port.Info, named []string) (all []Finding) {
	if len(named) > 0 {
		all = missing(list, named)
	} else {
		all = adapters(list)
	}
	asked := len(named) > 0 && len(all) == 0 // all that are named are there: of others nothing is said
	for i := range list {
		l := &list[i]
		called := slices.ContainsFunc(named, l.Called)
		if asked && !called {
			continue
		}
		all = append(all, one(l, called || l.USB != "" && len(named) == 0)...)
	}
	return all
}

// finding is one about a port.
func finding(state State, form string, of ...any) Finding {
	return Finding{"port", state, fmt.Sprintf(form, of...)}
}

// missing are the findings about named ports that are not listed.
func missing(list []port.Info, named []string) (all []Finding) {
	for _, name := range named {
		if slices.ContainsFunc(list, func(l port.Info) bool { return l.Called(name) }) {
			continue
		}
		if _, err := os.Stat(name); err != nil {
			all = append(all, finding(Mend, portMissing, name))
		} else {
			all = append(all, finding(Note, portUnlisted, name))
		}
	}
	return all
}

// adapters is the finding where no port is an adapter's.
func adapters(list []port.Info) []Finding {
	switch {
	case len(list) == 0:
		return []Finding{finding(Mend, noPort)}
	case !slices.ContainsFunc(list, func(l port.Info) bool { return l.USB != "" }):
		return []Finding{finding(Note, noAdapter)}
	}
	return nil
}

// one are the findings about a port; meant: it is to be listened to.
func one(l *port.Info, meant bool) (all []Finding) {
	mend := l.ToMend()
	switch {
	case len(mend) > 0 && meant:
		for _, what := range mend {
			all = append(all, finding(Mend, "%s: %s", l.Port, what))
		}
	case len(mend) > 0:
		all = append(all, finding(Note, portOther, l.Port, strings.Join(mend, "; ")))
	case l.MayOpen == nil:
		all = append(all, finding(Note, portUnknown, l.Port))
	default:
		all = append(all, finding(Fine, portFine, l.Port))
	}
	for _, what := range l.Remarks() {
		all = append(all, finding(Note, "%s: %s", l.Port, what))
	}
	if meant && l.Waits() {
		all = append(all, finding(Note, waits, l.Port, l.Latency))
	}
	return all
}

// Disk is the finding about where sessions are kept: refused is why nothing can be written
// in a folder, nil where something can.
func Disk(folder string, refused error, room session.Room) Finding {
	f := Finding{"disk", Fine, roomUnknown}
	switch days := room.Days(); {
	case refused != nil:
		f.State, f.Says = Mend, fmt.Sprintf(folderShut, folder, refused)
	case days < 0:
		f.State = Note
	case days < 1:
		f.State, f.Says = Mend, roomLess
	case days > 1000:
		f.Says = fmt.Sprintf(roomDays, "years")
	case days == 1:
		f.Says = fmt.Sprintf(roomDays, "a day")
	default:
		f.Says = fmt.Sprintf(roomDays, fmt.Sprintf("%d days", days))
	}
	return f
}

// Instant is a moment by two clocks.
type Instant struct {
	Wall int64     // Unix ns, by the clock that may be set
	Mono unit.Time // by one that nobody sets
}

// jumpLeast is by how much the clock must leave the one that nobody sets: more than a time
// server's gentle correction makes of it in seconds, and than what lies between two readings.
const jumpLeast = 20 * unit.Millisecond

// Clock is the finding about the computer's clock, by two moments; synchronised is nil where
// that can't be seen.
func Clock(synchronised *bool, before, after Instant) Finding {
	jump := unit.Duration(after.Wall-before.Wall) - after.Mono.Sub(before.Mono)
	switch {
	case unit.Abs(jump) >= jumpLeast:
		return Finding{"clock", Mend, fmt.Sprintf(clockJumped, unit.FormatDuration(jump))}
	case synchronised == nil:
		return Finding{"clock", Note, clockUnknown}
	case !*synchronised:
		return Finding{"clock", Mend, clockAlone}
	}
	return Finding{"clock", Fine, clockFine}
}

// Where names what is to be mended, each once, in the words of What.
func Where(list []Finding) (what []string) {
	for _, f := range list {
		if f.State == Mend && !slices.Contains(what, f.What) {
			what = append(what, f.What)
		}
	}
	return what
}

// ToMend is how many findings are to be mended.
func ToMend(list []Finding) (n int) {
	for _, f := range list {
		if f.State == Mend {
			n++
		}
	}
	return n
}
