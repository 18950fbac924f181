package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"benchproof.example/monitor/doctor"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

func doctorCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "doctor [--sheet SHEET] [--bus [NAME=]PORT ...] [--leads [NAME=]PORT]",
		Short: "say what is to be mended on this computer before it can listen, and how",
		Long: `doctor looks at what watch needs: ports and the right to open them, whether another
program uses them, the disk, the clock and, where one is named, the set-up sheet. It
opens no port. Of what is wrong it says what to do. With --bus and --leads it looks at
those ports alone; without, at all USB adapters that are plugged in. Exit code: 0 where
nothing is to be mended, else 1.

With --json it prints an array of objects:
  what   version, port, disk, clock or sheet
  state  fine, note (good to know, nothing is to be done) or mend
  says   a sentence: how it is and, where it is to be mended, what to do`,
		Example: "  benchproof doctor\n  benchproof doctor --sheet reedwing.yaml --bus /dev/ttyUSB0",
		Args:    takes(0, 0, onlyFlags),
		RunE:    checkComputer,
	}
	cmd.Flags().String("sheet", "", "the set-up sheet that is to be used")
	cmd.Flags().StringSlice("bus", nil, "the port of a bus; for several buses give --bus several times")
	cmd.Flags().StringSlice("leads", nil, "the port of the capture board")
	cmd.Flags().Bool("json", false, "print JSON")
	addConfig(cmd)
	completeFlag(cmd, "sheet", sheetFiles)
	completeFlag(cmd, "bus", portNames)
	completeFlag(cmd, "leads", portNames)
	return cmd
}

// lookedAt is how long the clock is looked at.
const lookedAt = 300 * time.Millisecond

func checkComputer(cmd *cobra.Command, _ []string) error {
	v, err := settings(cmd)
	if err != nil {
		return err
	}
	ports, err := port.List()
	if err != nil {
		return fail(exitDevice, err)
	}
	before := instant()
	list := []doctor.Finding{{What: "version", State: doctor.Fine, Says: build()}}
	list = append(list, doctor.Ports(ports, namedPorts(v))...)
	list = append(list, doctor.Disk(sessionsFolder, files.TryFolder(sessionsFolder), session.RoomFor(sessionsFolder, []event.TapName{{Kind: "bus"}})))
	rest(cmd.Context(), lookedAt)
	list = append(list, doctor.Clock(doctor.Synchronised(), before, instant()))
	if path := v.GetString("sheet"); path != "" {
		list = append(list, sheetFinding(path))
	}
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON {
		if err := json.NewEncoder(cmd.OutOrStdout()).Encode(list); err != nil {
			return fail(exitDevice, err)
		}
	} else {
		out := cmd.OutOrStdout()
		for _, f := range list {
			sayBehind(out, fmt.Sprintf("%-4s  %-7s  ", f.State, f.What), f.Says)
		}
		if n := doctor.ToMend(list); n == 0 {
			fmt.Fprintln(out, "Nothing is to be mended.")
		} else {
			fmt.Fprintf(out, "To be mended: %d (%s)\n", n, strings.Join(doctor.Where(list), ", "))
		}
	}
	if doctor.ToMend(list) > 0 {
		return fail(exitWrong, errQuiet)
	}
	return nil
}

// instant is now, by both clocks.
func instant() doctor.Instant {
	return doctor.Instant{Wall: time.Now().UnixNano(), Mono: unit.Time(port.Clock())}
}

// namedPorts are the ports that settings name, without the names of their taps.
func namedPorts(v *viper.Viper) (list []string) {
	for _, f := range tapFlags {
		for _, arg := range v.GetStringSlice(f.flag) {
			if _, path, named := strings.Cut(arg, "="); named {
				arg = path
			}
			list = append(list, arg)
		}
	}
	return list
}

// sheetDoubtful is said of a sheet about which there are doubts.
const sheetDoubtful = "%s can be used, but may not say what you mean: benchproof sheet verify %s"

// sheetFinding is the finding about a sheet that a new session is to begin with.
func sheetFinding(path string) doctor.Finding {
	s, doubts, _, err := readNewSheet(path)
	switch {
	case err != nil:
		return doctor.Finding{What: "sheet", State: doctor.Mend, Says: err.Error()}
	case len(doubts) > 0:
		return doctor.Finding{What: "sheet", State: doctor.Note, Says: fmt.Sprintf(sheetDoubtful, path, path)}
	}
	return doctor.Finding{What: "sheet", State: doctor.Fine, Says: fmt.Sprintf("%s is in order: %s", path, s.Model)}
}
