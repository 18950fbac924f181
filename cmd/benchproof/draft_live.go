package main

import (
	"context"
	"fmt"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

// draftSession is the session that listens while a draft asks: one without a sheet, on the ports
// by their flags. Its folder is not known yet.
func draftSession(ports map[string]string, protocol string, baud int) (*liveSession, error) {
	if baud < 1200 || baud > 4_000_000 {
		return nil, fmt.Errorf("got --leads-baud %d, want a rate from 1200 to 4000000", baud)
	}
	given := func(flag string) []string {
		if ports[flag] == "" {
			return nil
		}
		return []string{ports[flag]}
	}
	taps, err := listeningTaps(given)
	if err != nil {
		return nil, err
	}
	for i := range taps {
		if taps[i].Kind == "bus" {
			taps[i].Protocol = protocol
		}
	}
	text := sheet.ForListening(taps)
	s, err := sheet.Read(session.SheetFile, text)
	if err != nil {
		return nil, err
	}
	board := port.BoardSettings
	board.Baud = int64(baud)
	sit := &liveSession{sheet: s, sheetName: session.SheetFile, sheetText: text, every: checkpointEvery}
	sit.taps, err = parseTaps(given, board, s)
	return sit, err
}

const listensAlready = "%s is listened to by the session %s, which was begun with watch or another draft: end that one (Ctrl-C in its " +
	"terminal), then give this command again. What it recorded gives a draft, too: benchproof draft --from %s -o %s"

// listenedAlready refuses ports that a session of ours listens to.
func listenedAlready(ctx context.Context, taps []listened, file string) (err error) {
	for _, c := range client.Running(sessionsFolder) {
		for _, t := range taps {
			if err == nil && tapOn(ctx, c, t.path) != nil {
				err = fmt.Errorf(listensAlready, t.path, c.Folder, c.Folder, file)
			}
		}
		c.Close()
	}
	return err
}
