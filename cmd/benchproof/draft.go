package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/port"
)

func draftCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "draft --bus PORT [--leads PORT] -o FILE",
		Short: "make a first set-up sheet by doing, or of a recorded session",
		Long: `draft asks you to move one control after the other, finds on the bus which channel
that is and how far it goes, and asks for what the wire can't tell. It writes a
set-up sheet, in which each line says where it comes from: measured (on the bus), said
(by you) or assumed (by draft: look these over).

Its cautions come first and must be confirmed by typing yes: the throttle is moved
too. As soon as the bus shows that you did what was asked, the next question comes by
itself. Other questions you answer by typing, or with Enter alone for the answer that is
proposed. s skips a question, b goes back to the one before, r asks it anew, q stops.
One of the first questions is which channel starts limit learning in the receiver: type
its number, and do not move that control. It is never asked for.

Everything heard meanwhile is recorded as a session, as watch does without a sheet.
Stopped or killed in the middle, what was answered is kept in FILE.draft, and the same
command goes on there, in the same session. A file that is there is not overwritten
without --overwrite.

With --from it makes what it can of a session that was recorded, without questions.`,
		Example: `  benchproof draft --bus /dev/ttyUSB0 --leads /dev/ttyACM0 -o mymodel.yaml
  benchproof draft --from sessions/reedwing-1400/2026-05-02-110000 -o mymodel.yaml`,
		Args: takes(0, 0, onlyFlags),
		RunE: runDraft,
	}
	cmd.Flags().String("bus", "", "the bus: its port")
	cmd.Flags().String("leads", "", "the servo leads: the capture board's port")
	cmd.Flags().Int("leads-baud", int(port.BoardSettings.Baud), "characters of the capture board come at this rate, 8N1")
	cmd.Flags().String("protocol", "", "how the frames of the bus are made (default: "+protocols.All()[0].Name+")")
	cmd.Flags().String("from", "", "make it of this recorded session instead")
	cmd.Flags().StringP("output", "o", "", "write the sheet to this file")
	cmd.Flags().Bool("overwrite", false, "write it also where there is a file already")
	completeFlag(cmd, "bus", portNames)
	completeFlag(cmd, "leads", portNames)
	completeFlag(cmd, "from", folders)
	return cmd
}

func runDraft(cmd *cobra.Command, _ []string) error {
	flags := cmd.Flags()
	file, _ := flags.GetString("output")
	from, _ := flags.GetString("from")
	bus, _ := flags.GetString("bus")
	leads, _ := flags.GetString("leads")
	name, _ := flags.GetString("protocol")
	protocol, known := protocols.Find(name)
	if err := draftRefused(file, from, bus, leads, name, known); err != nil {
		return fail(exitUsage, err)
	}
	if overwrite, _ := flags.GetBool("overwrite"); !overwrite {
		if _, err := os.Lstat(file); err == nil {
			return fail(exitUsage, fmt.Errorf("%s is there already: name another file, or say --overwrite", file))
		}
	}
	if from != "" {
		return draftOfSession(cmd, from, file, protocol)
	}
	baud, _ := flags.GetInt("leads-baud")
	sit, err := draftSession(map[string]string{"bus": bus, "leads": leads}, name, baud)
	if err != nil {
		return fail(exitUsage, err)
	}
	if err := listenedAlready(cmd.Context(), sit.taps, file); err != nil {
		return fail(exitUsage, err)
	}
	d := newDraftDialogue(sit, file, cmd.OutOrStdout(), cmd.ErrOrStderr())
	return d.run(cmd.Context(), cmd.InOrStdin())
}

// draftRefused says what is wrong with what a draft was asked for, or nil.
func draftRefused(file, from, bus, leads, protocol string, known bool) error {
	switch {
	case file == "":
		return errors.New("where is the sheet to go? name a file with -o FILE")
	case !known:
		return fmt.Errorf("got --protocol %s, want one of: %v", clip(protocol, 40), protocols.All().Names())
	case from == "" && bus == "":
		return errors.New("what to listen to? name the adapter's port with --bus PORT, or a recorded session with --from")
	case from != "" && bus+leads != "":
		return errors.New("got --from and a port, want one of them")
	}
	return nil
}
