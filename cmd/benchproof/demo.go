package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"reflect"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/text"
)

func demoCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "the whole tool on a simulated bench, nothing else needed",
		Long: `demo plays a script on a simulated bench - transmitter, link, receiver,
stabiliser, bus, servo leads, adapters - and watches it as it would a real one,
through pseudo-terminals. The model is invented.

With --tilt the simulated hands go through the drills for which the model is tilted,
in place of what the script has them do. That takes three minutes, and it shows what
no stick does: how the stabiliser answers, and whether the right way.

Scripts; a file of your own may be named too:
` + scriptList(),
		Example: "  benchproof demo\n  benchproof demo --script faulty-reverse",
		Args:    takes(0, 0, onlyFlags),
		RunE:    demo,
	}
	cmd.Flags().String("script", "wing", "what happens at the bench")
	cmd.Flags().Duration("for", 0, "stop after this long (default: when the script ends)")
	cmd.Flags().String("session", "", "keep the session in this folder (default: nothing is kept)")
	cmd.Flags().Bool("tilt", false, "follow the drills response and correction in place of the script's steps")
	cmd.Flags().Uint64("seed", 1, "of the simulated hands and link")
	addListen(cmd)
	addAll(cmd)
	addRequire(cmd)
	addConfig(cmd)
	completeFlag(cmd, "script", scriptsAndFiles)
	completeFlag(cmd, "session", folders)
	return cmd
}

func demo(cmd *cobra.Command, _ []string) error {
	v, err := settings(cmd)
	if err != nil {
		return err
	}
	if err := checkRequire(v.GetString("require")); err != nil {
		return err
	}
	scripted, err := loadScript(v.GetString("script"))
	if err != nil {
		return fail(exitUsage, err)
	}
	text, err := demoSheet(v.GetString("script"), scripted)
	if err != nil {
		return fail(exitFault, err)
	}
	const name = "the demo's sheet"
	sh, err := sheet.Read(name, text)
	if err != nil {
		return fail(exitFault, err)
	}
	listen, err := openListening(v)
	if err != nil {
		return err
	}
	folder, cleanUp, err := demoFolder(v.GetString("session"))
	if err != nil {
		return fail(exitDevice, err)
	}
	defer cleanUp()
	text = keptSheet(session.Folder(folder), name, sh, text)
	sit := &liveSession{folder: session.Folder(folder), sheet: sh, sheetName: name, sheetText: text, every: checkpointEvery, listen: listen,
		alone: v.GetString("session") == ""}
	play := playScript
	if v.GetBool("tilt") {
		scripted = scripted.Bench()
		play = newOperatorDrills(sit, v.GetUint64("seed")).play
	}
	screen, claims, err := sit.play(cmd, script.Drive(scripted, v.GetUint64("seed")), scripted, play, v.GetDuration("for"))
	if err != nil {
		return err
	}
	out, talk := cmd.OutOrStdout(), cmd.ErrOrStderr()
	printEnding(out, screen.summary(), claims, v.GetBool("all"))
	conclude(talk, v.GetString("session"))
	return verdict(claims, v.GetString("require"))
}

// keptSheet is the demo's sheet as a session's folder keeps it, where it says the same:
// an earlier build may have made other remarks in it.
func keptSheet(folder session.Folder, name string, sh *sheet.Sheet, text []byte) []byte {
	old, err := folder.SheetText()
	if err != nil {
		return text
	}
	if was, err := sheet.Read(name, old); err != nil || !reflect.DeepEqual(was, sh) {
		return text
	}
	return old
}

// player has a simulated bench deliver to its ends.
type player func(context.Context, *script.Driver, []world.Sink) error

// playScript plays a script to its end.
func playScript(ctx context.Context, bench *script.Driver, ends []world.Sink) error {
	err := world.Play(ctx, bench.Sim, ends, world.RealTime{})
	if err == nil {
		rest(ctx, listenAfterScript)
	}
	return fail(exitFault, err)
}

// play hears a simulated bench until what happens there ends or the limit is reached.
func (s *liveSession) play(cmd *cobra.Command, bench *script.Driver, scripted *script.Script, play player,
	limit time.Duration) (*terminal, []*claim.Claim, error) {
	ends, closePorts, err := s.simulate(scripted.Taps(), world.OpenPTYs)
	if err != nil {
		return nil, nil, fail(exitDevice, err)
	}
	defer closePorts()
	introduce(cmd.ErrOrStderr(), scripted, time.Duration(bench.Length()), limit)
	ctx, stop := context.WithCancel(cmd.Context())
	defer stop()
	if limit > 0 {
		ctx, stop = context.WithTimeout(cmd.Context(), limit)
		defer stop()
	}
	var played error
	screen, claims, err := s.run(ctx, cmd.OutOrStdout(), cmd.ErrOrStderr(), func(ctx context.Context) {
		if err := play(ctx, bench, ends); ctx.Err() == nil { // else it was stopped
			played = err
		}
		stop()
	})
	if err == nil {
		err = played
	}
	return screen, claims, err
}

// listenAfterScript is how long the demo listens on after the script, so that what is
// under way comes to its end.
const listenAfterScript = 500 * time.Millisecond

func rest(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

func introduce(talk io.Writer, scripted *script.Script, length, limit time.Duration) {
	if limit > 0 {
		length = min(length, limit)
	}
	until := ""
	if length < time.Hour { // else the drills end it
		until = fmt.Sprintf(" for %v", length.Round(time.Second))
	}
	say(talk, fmt.Sprintf("benchproof: a simulated bench%s, with an invented model, listened to at %s. %s Times are from the start, as m:ss.",
		until, text.And(scripted.TapNames()), scripted.About()))
}

func conclude(talk io.Writer, folder string) {
	fmt.Fprintln(talk)
	if folder == "" {
		say(talk, "benchproof: that was simulated. Keep such a session with --session FOLDER; for your own "+
			"model, begin with: benchproof guide first-hour")
		return
	}
	say(talk, fmt.Sprintf("benchproof: that was simulated. The session is in %s; judge it again with: benchproof replay %s", folder, folder))
}

// scriptList says what each script is about, a line each.
func scriptList() (list string) {
	const indent = "                     "
	for _, name := range script.Names() {
		if about, err := script.AboutNamed(name); err == nil {
			list += fmt.Sprintf("\n  %-19s%s", name, strings.TrimPrefix(text.Wrap(about, paragraph, indent), indent))
		}
	}
	return list
}

// loadScript finds a script by name or, where there is none, by path.
func loadScript(name string) (*script.Script, error) {
	for _, known := range script.Names() {
		if name == known {
			return script.Named(name)
		}
	}
	if _, err := os.Stat(name); err != nil {
		return nil, fmt.Errorf("got the script %q, want a file or one of %s", name, strings.Join(script.Names(), ", "))
	}
	return script.Load(name)
}

// demoFolder is the folder to keep, or one that goes when the demo does.
func demoFolder(keep string) (folder string, cleanUp func(), err error) {
	if keep != "" {
		return keep, func() {}, nil
	}
	dir, err := os.MkdirTemp("", "benchproof-demo-")
	if err != nil {
		return "", nil, fmt.Errorf("a folder for the demo: %w", err)
	}
	return dir, func() { _ = os.RemoveAll(dir) }, nil
}
