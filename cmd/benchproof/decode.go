package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/tap"
)

func decodeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "decode FILE",
		Short: "print the frames of a file of raw bus bytes or of a recording",
		Long: `decode prints one JSON object for each frame of a file of raw bus bytes or of a
recording, and an account of the bytes at the end. FILE - is standard input.`,
		Args: cobra.ExactArgs(1),
		RunE: decode,
	}
	cmd.Flags().Duration("period", 7*time.Millisecond, "of raw bus bytes, which carry no time: from frame to frame")
	return cmd
}

func decode(cmd *cobra.Command, args []string) error {
	period, _ := cmd.Flags().GetDuration("period")
	if period < servobus.FrameTime {
		return fail(exitUsage, fmt.Errorf("got --period %v, want at least the %v that a frame takes", period, time.Duration(servobus.FrameTime)))
	}
	in, name := cmd.InOrStdin(), "standard input"
	if args[0] != "-" {
		f, err := os.Open(args[0])
		if err != nil {
			return fail(exitUsage, fmt.Errorf("nothing to decode: %w", err))
		}
		defer func() { _ = f.Close() }()
		in, name = f, args[0]
	}
	buffered := bufio.NewReaderSize(in, 1<<16)
	out := bufio.NewWriterSize(cmd.OutOrStdout(), 1<<16)
	head, _ := buffered.Peek(4)
	var accounts []account
	var err error
	if recording.Begins(head) {
		accounts, err = decodeRecording(buffered, out)
	} else {
		accounts, err = decodeRaw(buffered, out, fact.Time(period))
	}
	err = errors.Join(err, out.Flush())
	var frames int64
	for _, a := range accounts {
		frames += a.Frames
		fmt.Fprintln(cmd.ErrOrStderr(), a.sentence())
	}
	switch {
	case errors.Is(err, recording.ErrNotRecording), errors.Is(err, recording.ErrNewer):
		return fail(exitUsage, err)
	case err != nil:
		return fail(exitDevice, fmt.Errorf("decode %s: %w", name, err))
	case frames == 0:
		return fail(exitWrong, fmt.Errorf("no frame in %s", name))
	}
	return nil
}

// account is where the bytes of one bus went.
type account struct {
	tap string
	servobus.Account
}

// sentence is the last line of talk.
func (a *account) sentence() string {
	var refused []string
	for r, n := range a.Refused {
		if n > 0 {
			refused = append(refused, fmt.Sprintf("%d %s", n, servobus.Reason(r)))
		}
	}
	s := fmt.Sprintf("%d bytes, %d frames, %d bytes refused", a.In, a.Frames, a.RefusedTotal())
	if len(refused) > 0 {
		s += ": " + strings.Join(refused, ", ")
	}
	if a.OddFlags > 0 {
		s += fmt.Sprintf("; %d frames with flag bits that have no common meaning", a.OddFlags)
	}
	if a.tap != "" {
		s = a.tap + ": " + s
	}
	return s
}

// frameLine is a line of decode.
type frameLine struct {
	T      int64     `json:"t_ns"`
	Tap    string    `json:"tap,omitempty"` // of a recording with several buses
	Offset int64     `json:"offset"`
	Frame  frameJSON `json:"frame"`
}

type frameJSON struct {
	Counts    [servobus.Channels]uint16 `json:"counts"`
	Ch17      bool                      `json:"ch17"`
	Ch18      bool                      `json:"ch18"`
	FrameLost bool                      `json:"frame_lost"`
	Failsafe  bool                      `json:"failsafe"`
	Footer    uint8                     `json:"footer"`
	Bad       bool                      `json:"bad"`
}

func toJSON(f *servobus.Frame) frameJSON {
	return frameJSON{f.Counts, f.Ch17(), f.Ch18(), f.FrameLost(), f.Failsafe(), f.Footer, f.Bad}
}

// decodeRaw dates each frame by the place of its last byte in the file.
func decodeRaw(in io.Reader, out io.Writer, period fact.Time) ([]account, error) {
	var framer servobus.Framer
	lines := json.NewEncoder(out)
	var printed error
	hear := func(f *servobus.Found) {
		var frame servobus.Frame
		frame.Decode(f.Raw)
		at := tap.RawDate(f.Offset+servobus.FrameLen-1, period)
		printed = errors.Join(printed, lines.Encode(frameLine{T: int64(at), Offset: f.Offset, Frame: toJSON(&frame)}))
	}
	buf := make([]byte, 1<<16)
	var fed int64
	for {
		n, err := in.Read(buf)
		for _, p := range slots(buf[:n], fed) {
			framer.Feed(p, int64(tap.RawDate(fed, period)), false, hear)
			fed += int64(len(p))
		}
		if err != nil || printed != nil {
			framer.Reset()
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return []account{{Account: framer.Account()}}, errors.Join(err, printed)
		}
	}
}

// slots cuts bytes, of which the first is byte at of the file, where one frame's
// time ends and the next begins: the framer must not take them for one moment.
func slots(b []byte, at int64) (parts [][]byte) {
	for len(b) > 0 {
		n := min(len(b), servobus.FrameLen-int(at%servobus.FrameLen))
		parts = append(parts, b[:n])
		b, at = b[n:], at+int64(n)
	}
	return parts
}

// decodeRecording dates each frame as its last byte was read.
func decodeRecording(in io.Reader, out io.Writer) ([]account, error) {
	r := recording.NewReader(in)
	lines := json.NewEncoder(out)
	var names []fact.TapName
	framers := map[uint8]*servobus.Framer{}
	var in1 fact.Input
	for {
		if err := r.Next(&in1); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if in1.Kind == fact.Begin || in1.Kind == fact.Resume {
			var s fact.Start
			if err := json.Unmarshal(in1.Data, &s); err != nil {
				return nil, fmt.Errorf("a session's start: %w", err)
			}
			names = s.Taps
		}
		if err := decodeInput(&in1, framers, names, lines); err != nil {
			return nil, err
		}
	}
	var accounts []account
	for i, t := range names {
		if f := framers[uint8(i+1)]; f != nil {
			f.Reset()
			accounts = append(accounts, account{t.Name, f.Account()})
		}
	}
	return accounts, nil
}

func decodeInput(in *fact.Input, framers map[uint8]*servobus.Framer, names []fact.TapName, lines *json.Encoder) (err error) {
	f := framers[in.Tap]
	switch in.Kind {
	case fact.TapDown:
		if f != nil {
			f.Reset()
		}
	case fact.Bytes, fact.BadByte:
		if f == nil {
			f = new(servobus.Framer)
			framers[in.Tap] = f
		}
		f.Feed(in.Data, int64(in.At), in.Kind == fact.BadByte, func(x *servobus.Found) {
			var frame servobus.Frame
			frame.Decode(x.Raw)
			frame.Bad = x.Bad
			line := frameLine{T: x.At, Offset: x.Offset, Frame: toJSON(&frame)}
			if len(names) > 1 && int(in.Tap) <= len(names) {
				line.Tap = names[in.Tap-1].Name
			}
			err = errors.Join(err, lines.Encode(line))
		})
	}
	return err
}
