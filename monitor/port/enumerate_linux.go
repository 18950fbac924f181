package port

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// List is the serial ports, by name. The library's lists open every port that is
// on the board, so that is read from the system's own tables.
func List() ([]Info, error) {
	return places{sys: "/sys", dev: "/dev", proc: "/proc", udev: "/run/udev/data"}.list()
}

// places are where Linux describes its ports, and its device manager what it knows of them.
type places struct{ sys, dev, proc, udev string }

func (p places) list() ([]Info, error) {
	names, err := os.ReadDir(filepath.Join(p.sys, "class/tty"))
	if err != nil {
		return nil, fmt.Errorf("list the serial ports: %w", err)
	}
	counted := p.boardCounters()
	ports := []Info{}
	for _, n := range names {
		if l, ok := p.inspect(n.Name()); ok {
			if c, ok := counted[n.Name()]; ok {
				l.Counters = &c
			}
			l.judge()
			ports = append(ports, l)
		}
	}
	slices.SortFunc(ports, func(a, b Info) int {
		if d := len(a.Device) - len(b.Device); d != 0 && strings.TrimRight(a.Device, "0123456789") == strings.TrimRight(b.Device, "0123456789") {
			return d
		}
		return strings.Compare(a.Device, b.Device)
	})
	return ports, nil
}

// inspect reports about a terminal; false: it has no hardware.
func (p places) inspect(name string) (Info, bool) {
	class := filepath.Join(p.sys, "class/tty", name)
	hardware, err := filepath.EvalSymlinks(filepath.Join(class, "device"))
	if err != nil || line1(filepath.Join(class, "type")) == "0" { // a place on the board with nothing in it
		return Info{}, false
	}
	device := filepath.Join(p.dev, name)
	l := Info{
		Port: stableIn(filepath.Join(p.dev, "serial"), device), Device: device,
		HeldBy: holdersIn(p.proc, device), Latency: "unknown",
	}
	if l.HeldBy == nil {
		l.HeldBy = []Holder{}
	}
	if driver, err := filepath.EvalSymlinks(filepath.Join(hardware, "driver")); err == nil {
		l.Driver = filepath.Base(driver)
	}
	if ms := line1(filepath.Join(class, "device/latency_timer")); ms != "" {
		l.Latency = ms + " ms"
	}
	may := unix.Faccessat(unix.AT_FDCWD, device, unix.R_OK|unix.W_OK, unix.AT_EACCESS) == nil
	l.MayOpen = &may
	l.Candidate = p.candidate(line1(filepath.Join(class, "dev")))
	p.usb(hardware, &l)
	return l, true
}

// candidateMark is how the device manager marks what a program may try out: ID_..._CANDIDATE,
// and ID_..._DEVICE_IGNORE where a rule takes that back (from memory). Which program that is,
// the letters between say.
var candidateMark = regexp.MustCompile(`(?m)^E:(ID_[A-Z0-9]+)_CANDIDATE=1$`)

// candidate is that mark of the character device of a number, "188:0"; "" for none.
func (p places) candidate(number string) string {
	text, err := os.ReadFile(filepath.Join(p.udev, "c"+number))
	if err != nil || number == "" {
		return ""
	}
	mark := candidateMark.FindSubmatch(text)
	if mark == nil || bytes.Contains(text, fmt.Appendf(nil, "E:%s_DEVICE_IGNORE=1\n", mark[1])) {
		return ""
	}
	return string(mark[1]) + "_CANDIDATE"
}

// usb finds the adapter above the port.
func (p places) usb(folder string, l *Info) {
	root, err := filepath.EvalSymlinks(p.sys)
	if err != nil {
		return
	}
	for ; strings.HasPrefix(folder, root) && folder != root; folder = filepath.Dir(folder) {
		if vendor := line1(filepath.Join(folder, "idVendor")); vendor != "" {
			l.USB = vendor + ":" + line1(filepath.Join(folder, "idProduct"))
			l.Product, l.Serial = line1(filepath.Join(folder, "product")), line1(filepath.Join(folder, "serial"))
			return
		}
	}
}

func line1(path string) string {
	text, _ := os.ReadFile(path)
	first, _, _ := bytes.Cut(text, []byte("\n"))
	return strings.ToValidUTF8(strings.TrimSpace(string(first)), "\uFFFD")
}

// boardCounters are the counters of the ports on the board, which root may read:
// lines such as "0: uart:16550A port:000003F8 irq:4 tx:0 rx:25 fe:1 oe:2", where a
// zero is left out.
func (p places) boardCounters() map[string]Counters {
	text, err := os.ReadFile(filepath.Join(p.proc, "tty/driver/serial"))
	if err != nil {
		return nil
	}
	all := map[string]Counters{}
	lines := bufio.NewScanner(bytes.NewReader(text))
	for lines.Scan() {
		number, rest, found := strings.Cut(lines.Text(), ":")
		if _, err := strconv.Atoi(number); !found || err != nil || strings.Contains(rest, "uart:unknown") {
			continue
		}
		all["ttyS"+number] = boardLine(rest)
	}
	return all
}

func boardLine(rest string) (c Counters) {
	for _, word := range strings.Fields(rest) {
		name, value, _ := strings.Cut(word, ":")
		n, err := strconv.ParseInt(value, 10, 64)
		if err != nil {
			continue
		}
		switch name {
		case "rx":
			c.Received = n
		case "pe":
			c.Parity = n
		case "fe":
			c.Framing = n
		case "brk":
			c.Breaks = n
		case "oe":
			c.Overruns = n
		case "bo":
			c.BufferOverruns = n
		}
	}
	return c
}
