package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

func replayCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "replay SESSION|FILE",
		Short: "judge a recording again; prints the timeline as JSON Lines",
		Long: `replay judges a session folder, a recording, or a file of raw bus bytes again,
by the same rules as watch, and prints the timeline, one JSON object a line. The
same build gives the same lines, byte for byte.`,
		Example: "  benchproof replay sessions/reedwing-1400/2026-05-02-110000",
		Args:    takes(1, 1, "the folder of a session, or one file"),
		RunE:    replay,
	}
	cmd.Flags().String("sheet", "", "judge under this sheet (default: the session's own)")
	cmd.Flags().Bool("json", true, "print JSON Lines, the only form there is")
	cmd.Flags().String("speed", "max", "times real time, or max")
	cmd.Flags().Duration("period", 7*time.Millisecond, "of raw bus bytes: from frame to frame")
	addRequire(cmd)
	completeFlag(cmd, "sheet", sheetFiles)
	return cmd
}

func replay(cmd *cobra.Command, args []string) error {
	flags := cmd.Flags()
	speed, err := parseSpeed(flags.Lookup("speed").Value.String())
	if err != nil {
		return fail(exitUsage, err)
	}
	require, _ := flags.GetString("require")
	if err := checkRequire(require); err != nil {
		return err
	}
	period, _ := flags.GetDuration("period")
	sheetPath, _ := flags.GetString("sheet")
	what, s, err := replayInput(args[0], sheetPath)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(unlessTerminal(cmd.OutOrStdout()), 1<<16)
	lines := &lineWriter{out: out}
	source, bench, finish, err := what.open(s, unit.Duration(period), lines.onEvent)
	if err != nil {
		return fail(exitUsage, err)
	}
	bench.OnFault = faultPrinter(cmd.ErrOrStderr())
	source = engine.Until(cmd.Context(), source)
	var judged func(*event.Input)
	if speed > 0 {
		source = &paced{of: source, speed: speed, ctx: cmd.Context()}
		judged = func(*event.Input) { lines.fail(out.Flush()) }
	}
	err = engine.Run(source, bench, judged)
	lines.claims(bench.Claims())
	notices := finish()
	for _, n := range notices {
		fmt.Fprintln(cmd.ErrOrStderr(), "benchproof:", n)
	}
	switch err = errors.Join(err, out.Flush(), lines.err); {
	case errors.Is(err, recording.ErrNotRecording), errors.Is(err, recording.ErrNewer):
		return fail(exitUsage, err)
	case err != nil:
		return fail(exitDevice, err)
	case len(notices) > 0:
		return fail(exitUsage, errors.New("the recording is not whole: what could be read of it was judged"))
	}
	return verdict(bench.Claims(), require)
}

// replayed is what is judged again: a session, or one file.
type replayed struct {
	folder session.Folder // that of the session, or that in which the file lies
	file   string         // "" for a session
}

// replayInput finds what to judge and the sheet to judge it by.
func replayInput(arg, sheetPath string) (r replayed, s *sheet.Sheet, err error) {
	info, err := os.Stat(arg)
	if err != nil {
		return r, nil, fail(exitUsage, fmt.Errorf("nothing to replay: %w; name the folder of a session, or a file", withoutCall(err)))
	}
	r = replayed{folder: session.Folder(filepath.Dir(arg)), file: arg}
	if info.IsDir() {
		r = replayed{folder: session.Folder(arg)}
		if !r.folder.Exists() {
			return r, nil, fail(exitUsage, fmt.Errorf("%s is no session: it has no recording", arg))
		}
	}
	if sheetPath == "" {
		sheetPath = r.folder.Path(session.SheetFile)
		if _, err := os.Stat(sheetPath); err != nil {
			return r, nil, fail(exitUsage, fmt.Errorf("by which sheet? there is none beside %s: name one with --sheet FILE", arg))
		}
	}
	s, _, err = readSheet(sheetPath)
	return r, s, err
}

// open makes a source of a session, of a recording or of raw bytes, and its bench.
func (p *replayed) open(s *sheet.Sheet, period unit.Duration, hear engine.EventFunc) (engine.Source, *engine.Engine, func() []string, error) {
	if p.file == "" {
		r, err := session.OpenReplay(p.folder, s, hear)
		if err != nil {
			return nil, nil, nil, err
		}
		return r.Source, r.Engine, r.Close, nil
	}
	f, err := files.OpenNamed(p.file)
	if err != nil {
		return nil, nil, nil, err
	}
	if recorded, is, err := recording.OpenFile(f, p.file); is || err != nil {
		if err != nil {
			return nil, nil, nil, err
		}
		r := session.NewReplay(recorded, s, hear)
		return r.Source, r.Engine, r.Close, nil
	}
	raw, err := port.NewRaw(f, p.file, s.Protocol, period, build())
	if err != nil {
		return nil, nil, nil, errors.Join(err, f.Close())
	}
	return raw, engine.New(s, hear), func() []string { _ = f.Close(); return nil }, nil
}

// faultPrinter prints where judgement failed, for those who mend it: the first few.
func faultPrinter(talk io.Writer) func(*engine.InternalFault) {
	n := 0
	return func(f *engine.InternalFault) {
		if n++; n <= session.MaxFaults {
			fmt.Fprintln(talk, "benchproof:", f)
		}
	}
}

// lineWriter prints events as timeline lines.
type lineWriter struct {
	out  io.Writer
	line []byte
	err  error
}

func (w *lineWriter) onEvent(e *event.Event, wall int64) {
	line, err := timeline.Line(w.line[:0], e, wall)
	w.fail(err)
	w.line = line
	_, err = w.out.Write(line)
	w.fail(err)
}

// claims prints a line for each claim, in the sheet's order.
func (w *lineWriter) claims(list []*claim.Claim) {
	lines := json.NewEncoder(w.out)
	lines.SetEscapeHTML(false)
	for _, c := range list {
		w.fail(lines.Encode(c))
	}
}

func (w *lineWriter) fail(err error) {
	if w.err == nil {
		w.err = err
	}
}

func parseSpeed(s string) (float64, error) {
	if s == "max" {
		return 0, nil
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v <= 0 || v > 1e6 {
		return 0, fmt.Errorf("got --speed %s, want a number of times real time above 0, or max", s)
	}
	return v, nil
}

// paced yields inputs at their dates, counted from the start of the replay.
type paced struct {
	of    engine.Source
	speed float64
	ctx   context.Context
	start time.Time
}

// Next implements engine.Source.
func (p *paced) Next(in *event.Input) error {
	if err := p.of.Next(in); err != nil {
		return err
	}
	if p.start.IsZero() {
		p.start = time.Now()
	}
	wait := time.Until(p.start.Add(time.Duration(float64(in.At) / p.speed)))
	if wait <= 0 {
		return p.ctx.Err()
	}
	select {
	case <-p.ctx.Done():
		return p.ctx.Err()
	case <-time.After(wait):
		return nil
	}
}

// withoutCall is an error of a file without the system call that failed.
func withoutCall(err error) error {
	var trouble *fs.PathError
	if errors.As(err, &trouble) {
		return fmt.Errorf("%s: %w", trouble.Path, trouble.Err)
	}
	return err
}
