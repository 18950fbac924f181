//go:build linux

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// The names that the rules in cmd/benchproof/service give the adapters.
const (
	ourSerial   = "BP0001"
	otherSerial = "BP0002"
	stable      = "/dev/benchproof/serial-" + ourSerial + "-00"
	otherStable = "/dev/benchproof/serial-" + otherSerial + "-00"
)

// patience is how long each step may take; an emulated processor is slow.
const patience = 40 * time.Second

// play is a sitting: an adapter is listened to, breaks one character, is pulled
// out, and comes back under another number, since a second adapter has been
// plugged in before it.
func play(r *report) error {
	first, port, err := plugAndName(r, ourSerial, 0, stable)
	if err != nil {
		return err
	}
	program, err := listen(port)
	if err != nil {
		return err
	}
	w := &wire{}
	w.join(first)
	go w.run()
	if err := await("a lock on the first frames", func() bool { return happened("bus.locked") > 0 }); err != nil {
		return r.with(err)
	}
	w.spoil()
	if err := await("the spoilt character to be told", func() bool { return happened("wire.damaged") > 0 }); err != nil {
		return r.with(err)
	}
	r.write("adapter", first.report())
	if err := first.unplug(); err != nil {
		return err
	}
	if err := await("the unplugged adapter to be told", func() bool { return happened("tap.down") > 0 }); err != nil {
		return r.with(err)
	}
	if _, _, err := plugAndName(r, otherSerial, 1, otherStable); err != nil {
		return r.with(err)
	}
	again, _, err := plugAndName(r, ourSerial, 2, stable)
	if err != nil {
		return r.with(err)
	}
	locks := happened("bus.locked")
	w.join(again)
	if err := await("a second lock", func() bool { return happened("tap.up") > 1 && happened("bus.locked") > locks }); err != nil {
		return r.with(err)
	}
	if err := program.Process.Signal(syscall.SIGINT); err != nil {
		return err
	}
	_ = program.Wait()
	r.write("exit", program.ProcessState.ExitCode())
	r.write("adapter", again.report())
	return r.with(nil)
}

// plugAndName plugs in an adapter and waits until it has its name and may be
// opened; it reports what the name leads to.
func plugAndName(r *report, serial string, socket int, name string) (a *adapter, port string, err error) {
	a, err = plug(serial, socket)
	if err != nil {
		return nil, "", err
	}
	named := func() bool { _, err := os.Stat(name); return err == nil }
	if err := await("the name "+name, named); err != nil {
		return nil, "", err
	}
	port, err = filepath.EvalSymlinks(name)
	if err != nil {
		return nil, "", err
	}
	waits := func() bool { return latency(port) == "1" }
	if err := await("the waiting time of "+port, waits); err != nil {
		return nil, "", fmt.Errorf("%w: it is %q ms", err, latency(port))
	}
	r.write("port", map[string]string{"name": name, "is": port})
	return a, port, nil
}

// latency is how long the adapter behind a port may collect, in ms, as the driver
// reports it.
func latency(port string) string {
	text, _ := os.ReadFile("/sys/bus/usb-serial/devices/" + filepath.Base(port) + "/latency_timer")
	return strings.TrimSpace(string(text))
}

// await looks until a condition holds.
func await(what string, holds func() bool) error {
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if holds() {
			return nil
		}
	}
	return fmt.Errorf("waited %v for %s", patience, what)
}
