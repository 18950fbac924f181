package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

func watchCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "watch [--sheet SHEET] --bus [NAME=]PORT ... [--leads [NAME=]PORT]",
		Short: "listen to a model, judge and record",
		Long: `watch listens to the buses of one model, and to its servo leads where a capture
board is plugged in, until it is stopped (Ctrl-C), writes everything it hears into a
session folder and shows what it makes of it. A port that is missing or vanishes is
waited for. Stopped or killed, it goes on where it was when it is started again with
the same --session.

Without a set-up sheet it listens: it shows what each channel is at, which one moves
and how far, records that, and judges nothing. A set-up sheet is a text file that says
what each channel of the model is and how it should behave; benchproof draft writes one
while you move the controls. What should be so is then judged, each such statement (a
claim) by itself: seen right, seen wrong, open (not seen yet), or stale (seen right, but
something that it depends on was changed since).

Where nothing can be read, benchproof explain says why.`,
		Example: `  benchproof watch --bus /dev/ttyUSB0
  benchproof watch --sheet reedwing.yaml --bus /dev/ttyUSB0
  benchproof watch --sheet reedwing.yaml --bus /dev/ttyUSB0 --leads /dev/ttyACM0
  benchproof watch --sheet two.yaml --bus main=/dev/ttyUSB0 --bus second=/dev/ttyUSB1`,
		Args: takes(0, 0, onlyFlags),
		RunE: watch,
	}
	cmd.Flags().String("sheet", "", "the set-up sheet (see: benchproof sheet new); without one nothing is judged")
	cmd.Flags().StringSlice("bus", nil, "a bus: its port, or NAME=PORT, where the sheet names its lines (taps); for several buses give --bus several times")
	cmd.Flags().StringSlice("leads", nil, "the servo leads: the capture board's port, or NAME=PORT, where the sheet names its lines (taps)")
	cmd.Flags().Int("leads-baud", int(port.BoardSettings.Baud), "characters of the capture board come at this rate, 8N1")
	cmd.Flags().String("session", "", "the session folder (default sessions/MODEL/DATE-TIME, a new one)")
	cmd.Flags().Int("checkpoint-beats", checkpointEvery, "seconds from one saved state to the next; from the latest a session that was stopped goes on quickly")
	cmd.Flags().String("recording-room", "",
		"how much the recording may take on the disk, such as 20GB; then watching goes on without it (default all that there is)")
	cmd.Flags().String("until", "", `declare a goal before a long run, such as "12h quiet": so long without an outage; when it is reached, watching goes on`)
	cmd.Flags().Duration("segment", 0, "how long a part of the recording is, for tests")
	_ = cmd.Flags().MarkHidden("segment") // fails only where there is no such flag
	cmd.Flags().Bool("keep-awake", true, "keep the computer from sleeping during a long run (--until, or a sheet with a section soak)")
	addOnTrouble(cmd)
	addListen(cmd)
	addAll(cmd)
	addRequire(cmd)
	addConfig(cmd)
	completeFlag(cmd, "sheet", sheetFiles)
	completeFlag(cmd, "bus", portNames)
	completeFlag(cmd, "leads", portNames)
	completeFlag(cmd, "session", folders)
	return cmd
}

func watch(cmd *cobra.Command, _ []string) error {
	v, err := settings(cmd)
	if err != nil {
		return err
	}
	if err := checkRequire(v.GetString("require")); err != nil {
		return err
	}
	sit, err := liveSessionOf(v)
	if err != nil {
		return err
	}
	if sit.command, err = onTroubleOf(v); err != nil {
		return err
	}
	if sit.listen, err = openListening(v); err != nil {
		return err
	}
	if sit.folder == "" {
		if sit.folder, err = newFolder(sessionsFolder, sit.sheet.Model, time.Now()); err != nil {
			return fail(exitDevice, err)
		}
	}
	folder := string(sit.folder)
	out, talk := cmd.OutOrStdout(), cmd.ErrOrStderr()
	sit.announce(cmd.Context(), folder, talk)
	screen, claims, err := sit.run(cmd.Context(), out, talk, func(context.Context) {})
	if err != nil {
		return err
	}
	if sit.sheet.Listens {
		screen.endListening(folder)
	} else {
		printEnding(out, screen.summary(), claims, v.GetBool("all"))
	}
	if sit.longRun() {
		screen.endLongRun(folder)
	}
	keepRecord(cmd.Context(), sit.folder, sit.showed, talk)
	say(talk, fmt.Sprintf("benchproof: the session is in %s; print it with: benchproof report %s", folder, folder))
	return verdict(claims, v.GetString("require"))
}

// announce says what is to be known before a session is heard.
func (s *liveSession) announce(ctx context.Context, folder string, talk io.Writer) {
	announceHearing(folder, talk)
	if s.sheet.Listens {
		say(talk, "benchproof: "+view.ListeningBegins)
	}
	for _, d := range s.doubts {
		say(talk, fmt.Sprint("benchproof: the sheet may not say what you mean: ", d))
	}
	for _, notice := range unheard(s.sheet, s.taps) {
		say(talk, "benchproof: "+notice)
	}
	room := session.RoomFor(folder, s.names())
	room.Most = s.room
	say(talk, "benchproof: "+roomSentence(room))
	if s.longRun() {
		s.beginLongRun(ctx, talk)
	}
}

// announceHearing says where all that is heard goes.
func announceHearing(folder string, talk io.Writer) {
	if os.Geteuid() == 0 {
		say(talk, "benchproof: running as root: the claim on a port does not bind root, so another program may take characters away unnoticed")
	}
	say(talk, fmt.Sprintf("benchproof: everything heard is kept in %s; stop with Ctrl-C", folder))
}

// liveSessionOf makes a sitting of settings: which model, what is listened to, where it
// is kept if that was named.
func liveSessionOf(v *viper.Viper) (*liveSession, error) {
	s, doubts, text, path, err := sheetOf(v)
	if err != nil {
		return nil, err
	}
	papers, err := readPapers(path, s)
	if err != nil {
		return nil, err
	}
	baud := v.GetInt("leads-baud")
	if baud < 1200 || baud > 4_000_000 {
		return nil, fail(exitUsage, fmt.Errorf("got --leads-baud %d, want a rate from 1200 to 4000000", baud))
	}
	board := port.BoardSettings
	board.Baud = int64(baud)
	taps, err := parseTaps(v.GetStringSlice, board, s)
	if err != nil {
		return nil, fail(exitUsage, err)
	}
	if len(taps) == len(phonesOf(s)) {
		return nil, fail(exitUsage, errors.New(noPortNamed))
	}
	until := v.GetString("until")
	if err := checkGoal(session.Folder(v.GetString("session")), until); err != nil {
		return nil, fail(exitUsage, err)
	}
	room, err := recordingRoom(v.GetString("recording-room"))
	if err != nil {
		return nil, fail(exitUsage, err)
	}
	every := v.GetInt("checkpoint-beats")
	if every < 1 {
		return nil, fail(exitUsage, fmt.Errorf("got --checkpoint-beats %d, want 1 or more", every))
	}
	return &liveSession{
		folder: session.Folder(v.GetString("session")), sheet: s, sheetName: path, sheetText: text, papers: *papers, doubts: doubts, taps: taps,
		every: every, segment: unit.Duration(v.GetDuration("segment")), until: until, room: room, awake: v.GetBool("keep-awake"),
	}, nil
}

// checkGoal checks a goal. It is declared before anything is heard: one that is named when a
// session goes on must be the one that it began with.
func checkGoal(folder session.Folder, goal string) error {
	if goal == "" {
		return nil
	}
	quiet, err := event.ParseQuiet(goal)
	if err != nil || folder == "" || !folder.Exists() {
		return err
	}
	begun, err := folder.Begun()
	if err != nil {
		return err
	}
	if declared, _ := event.ParseQuiet(begun.Until); declared != quiet {
		return fmt.Errorf("got --until %q, but this session began with %q: a goal is declared before anything is heard; begin another session for it",
			goal, begun.Until)
	}
	return nil
}

// sheetOf reads the sheet that settings name. Where they name none, a session that goes on
// has its own, and a new one listens.
func sheetOf(v *viper.Viper) (s *sheet.Sheet, doubts []sheet.Doubt, text []byte, path string, err error) {
	folder := session.Folder(v.GetString("session"))
	path = v.GetString("sheet")
	if path == "" && folder != "" && folder.Exists() {
		path = folder.Path(session.SheetFile)
	}
	if path != "" {
		s, doubts, text, err = sheetFor(folder, path)
		return s, doubts, text, path, err
	}
	taps, err := listeningTaps(v.GetStringSlice)
	if err != nil {
		return nil, nil, nil, "", fail(exitUsage, err)
	}
	path, text = session.SheetFile, sheet.ForListening(taps)
	s, err = sheet.Read(path, text)
	return s, nil, text, path, fail(exitFault, err)
}

// sheetFor reads the sheet for a session: for one that goes on as when it began,
// whatever is refused in a new one since.
func sheetFor(folder session.Folder, path string) (*sheet.Sheet, []sheet.Doubt, []byte, error) {
	if folder != "" && folder.Exists() {
		s, text, err := readSheet(path)
		return s, nil, text, err
	}
	return readNewSheet(path)
}

// readSheet reads a sheet that a session keeps, or that one is judged by again.
func readSheet(path string) (*sheet.Sheet, []byte, error) {
	text, err := sheetText(path)
	if err != nil {
		return nil, nil, err
	}
	s, err := sheet.Read(path, text)
	return s, text, notRight(err)
}

// readNewSheet reads a sheet that a new session is to begin with.
func readNewSheet(path string) (*sheet.Sheet, []sheet.Doubt, []byte, error) {
	text, err := sheetText(path)
	if err != nil {
		return nil, nil, nil, err
	}
	s, doubts, err := sheet.ReadNew(path, text)
	return s, doubts, text, notRight(err)
}

func sheetText(path string) ([]byte, error) {
	text, err := files.ReadNamed(path, files.MaxText)
	if err != nil {
		return nil, fail(exitUsage, fmt.Errorf("the sheet can't be read: %w", err))
	}
	return text, nil
}

func notRight(err error) error {
	if err == nil {
		return nil
	}
	return fail(exitUsage, fmt.Errorf("the sheet is not right yet:\n%w%s", err, explained(err)))
}
