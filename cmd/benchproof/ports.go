package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/port"
)

func portsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "ports",
		Short: "list the serial ports, and what to do where one can't be used",
		Long: `ports lists the serial ports with the name to give to watch. None is opened, so
nothing that listens is disturbed.

With --json it prints an array of objects:
  port      the name to give to watch: the stable one where there is one
  device    what that name leads to now
  driver    the system's driver (left out where unknown, like all that follows
            up to serial)
  usb       vendor and product number, in hex
  product   what the adapter calls itself
  serial    its serial number
  held_by   who has it open, as far as that may be seen (of other users' programs
            only root sees it): objects with pid and program
  may_open  whether you may open it; left out where the system does not say
  latency   how long the adapter may sit on what it heard, e.g. "16 ms", or
            "unknown"; watch asks for the shortest when it opens the port
  candidate the system's mark of what programs may try out as a modem; left out
            where there is none
  counters  what the driver counted since the system started: received, parity,
            framing, breaks, overruns, buffer_overruns (characters); left out
            where that is not shown to who has not opened the port
  trouble   sentences: what is wrong, and what to do about it`,
		Example: "  benchproof ports",
		Args:    takes(0, 0, onlyFlags),
		RunE:    ports,
	}
	cmd.Flags().Bool("json", false, "print JSON")
	return cmd
}

func ports(cmd *cobra.Command, _ []string) error {
	list, err := port.List()
	if err != nil {
		return fail(exitDevice, err)
	}
	out := cmd.OutOrStdout()
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON {
		return fail(exitDevice, json.NewEncoder(out).Encode(list))
	}
	if len(list) == 0 {
		fmt.Fprintln(out, noPorts)
	}
	for i := range list {
		printPort(out, &list[i])
	}
	return nil
}

const noPorts = `There is no serial port. Is the adapter plugged in, and its cable one that carries
data? A virtual machine or a container must be given the port.`

// printPort prints a port: its name, what it is, how it stands.
func printPort(out io.Writer, l *port.Info) {
	fmt.Fprintln(out, l.Port)
	what := []string{}
	if l.Device != l.Port {
		what = append(what, "now "+l.Device)
	}
	if l.Product != "" {
		what = append(what, fmt.Sprintf("%q", l.Product))
	}
	for _, part := range []struct{ name, value string }{{"USB ", l.USB}, {"serial number ", l.Serial}, {"driver ", l.Driver}, {"latency ", l.Latency}} {
		if part.value != "" && part.value != "unknown" {
			what = append(what, part.name+part.value)
		}
	}
	if len(what) > 0 {
		fmt.Fprintf(out, "  %s\n", strings.Join(what, ", "))
	}
	if c := l.Counters; c != nil {
		fmt.Fprintf(out, "  the driver counted %d characters, %d with parity and %d with framing errors, %d breaks, %d lost\n",
			c.Received, c.Parity, c.Framing, c.Breaks, c.Overruns+c.BufferOverruns)
	}
	for _, t := range l.Trouble {
		fmt.Fprintf(out, "  ! %s\n", t)
	}
	if len(l.Trouble) == 0 && l.MayOpen != nil {
		fmt.Fprintln(out, "  nobody is seen to hold it, and you may open it")
	}
}
