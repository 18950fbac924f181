package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

func drillCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "drill [NAME]",
		Short: "an exercise with a running session, for what the wire alone can't show",
		Long: `drill leads through an exercise with the transmitter while a session runs (watch
or demo, in another terminal). Without a name it lists the exercises that the
sheet allows, also while no session runs.

Its cautions come first and must be confirmed by typing yes. At each prompt, do
what it says: where the bus shows it, the next one comes by itself, else press
Enter when it is done. r says the prompt again and measures it anew, b goes back to
the one before, q abandons. Where nothing moved, or something else than was asked
for, it asks before it judges. At its end it says what is right now, what stays
wrong, and which drill is next.

Where the model is tilted, prompts come by a count, since who holds it in both
hands presses no key; if somebody else does, an Enter confirms that it was tilted.
The record keeps that, and the name that --by gives.

A drill goes on without the terminal in which it was begun, until nobody has answered
for two minutes: --take-over answers its prompts from another one.`,
		Example:           "  benchproof drill\n  benchproof drill mode\n  benchproof drill correction --by Ann\n  benchproof drill mode --take-over",
		Args:              takes(0, 1, "the name of one drill, or nothing to list them"),
		RunE:              runDrill,
		ValidArgsFunction: firstOf(drillNames),
	}
	addSession(cmd)
	cmd.Flags().String("by", "", "who follows the prompts, for the record")
	cmd.Flags().Bool("take-over", false, "go on with a drill that was begun in another terminal")
	return cmd
}

func runDrill(cmd *cobra.Command, args []string) error {
	c, err := reach(cmd)
	switch {
	case errors.Is(err, client.ErrNobody) && len(args) == 0 && !cmd.Flags().Changed("session"):
		return listWithoutSession(cmd, err)
	case err != nil:
		return err
	}
	defer c.Close()
	takesOver, _ := cmd.Flags().GetBool("take-over")
	switch {
	case len(args) == 0 && takesOver:
		return fail(exitUsage, errors.New("which drill is to be taken over? name it: benchproof drill NAME --take-over"))
	case len(args) == 0:
		return listDrills(cmd.OutOrStdout(), c.Folder)
	}
	s, err := session.Folder(c.Folder).ReadSheet()
	if err != nil {
		return fail(exitUsage, err)
	}
	by, _ := cmd.Flags().GetString("by")
	plan, _ := drill.Find(drill.Plans(s), args[0]) // the daemon refuses one that is not there
	e := &drillDialogue{
		name: args[0], by: by, plan: plan, sheet: s, claims: claim.NewIndex(s), daemon: c, takesOver: takesOver,
		out: cmd.OutOrStdout(), talk: cmd.ErrOrStderr(),
	}
	e.attended = isTerminal(cmd.InOrStdin()) // a file of lines has no answer to a question
	if cmd.Flags().Changed("session") {
		e.session = " --session " + c.Folder
	}
	e.count.aloud = isTerminal(cmd.ErrOrStderr())
	e.lines.Paint = paintOf(e.out)
	return e.run(cmd.Context(), cmd.InOrStdin())
}

// listWithoutSession lists the exercises of the only sheet in the present folder, else those of
// the sheet that sheet new writes.
func listWithoutSession(cmd *cobra.Command, nobody error) error {
	s, of := onlySheet(), "the sheet in this folder"
	if s == nil {
		var err error
		if s, err = sheet.Read("the starter", sheet.Starter()); err != nil {
			return fail(exitFault, err)
		}
		of = "the sheet that benchproof sheet new writes"
	}
	if err := listPlans(cmd.OutOrStdout(), s); err != nil {
		return err
	}
	say(cmd.ErrOrStderr(), fmt.Sprintf("benchproof: those are for %s. A drill needs a running session, and %v.", of, nobody))
	return nil
}

func listDrills(out io.Writer, folder string) error {
	s, err := session.Folder(folder).ReadSheet()
	if err != nil {
		return fail(exitUsage, err)
	}
	return listPlans(out, s)
}

func listPlans(out io.Writer, s *sheet.Sheet) error {
	plans := drill.Plans(s)
	if len(plans) == 0 {
		return fail(exitUsage, errors.New("the sheet allows no drill: it has no sticks, no knob and no wanted modes"))
	}
	for _, p := range plans {
		sayBehind(out, fmt.Sprintf("%-15s %3d prompts  ", p.Name, len(p.Prompts)), p.Purpose)
	}
	return nil
}
