package report

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
)

// Before is the session that a later one is compared with.
type Before struct {
	Folder string         // "": there is none
	Record *record.Record // its own

	PassedOver []PassedOver // later ones that say nothing to compare with, the latest first
}

// PassedOver is a session that a later one is not compared with.
type PassedOver struct{ Folder, Why string }

// nothingHeard is why a session without a frame and without a pulse is passed over: every
// claim in it is open, so that nothing could be better or worse.
const nothingHeard = "nothing was heard in it"

// FindBefore finds, beside a session's folder, the latest earlier session of the same model
// in which something was heard. Folders that hold no session are left out.
func FindBefore(ctx context.Context, folder string, r *record.Record) (b Before, err error) {
	earlier, err := earlierSessions(folder, r)
	if err != nil {
		return b, fmt.Errorf("look for an earlier session: %w", err)
	}
	for _, e := range earlier {
		was, err := Load(ctx, e.folder)
		switch {
		case ctx.Err() != nil:
			return b, ctx.Err()
		case err != nil:
			b.PassedOver = append(b.PassedOver, PassedOver{e.folder, err.Error()})
		case !slices.ContainsFunc(was.Taps, func(t record.Tap) bool { return t.Heard }):
			b.PassedOver = append(b.PassedOver, PassedOver{e.folder, nothingHeard})
		default:
			b.Folder, b.Record = e.folder, was
			return b, nil
		}
	}
	return b, nil
}

// KeptBefore are the records that earlier sessions of the same model, beside a session's folder,
// keep: as the programs judged that wrote them, which costs no time. Those without one are left out.
func KeptBefore(folder string, r *record.Record) (list []*record.Record, err error) {
	earlier, err := earlierSessions(folder, r)
	if err != nil {
		return nil, fmt.Errorf("look for earlier sessions: %w", err)
	}
	for _, e := range earlier {
		if was, err := read(session.Folder(e.folder)); err == nil {
			list = append(list, was)
		}
	}
	return list, nil
}

// datedFolder is a session's folder and when the session began.
type datedFolder struct {
	folder string
	begun  time.Time
}

// earlierSessions are the earlier sessions of the same model beside a folder, the latest
// first.
func earlierSessions(folder string, r *record.Record) (list []datedFolder, err error) {
	own, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(filepath.Dir(own))
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		path := filepath.Join(filepath.Dir(own), e.Name())
		if path == own || !e.IsDir() {
			continue
		}
		if model, begun, err := Identity(path); err == nil && model == r.Model && begun.Before(r.Begun) {
			list = append(list, datedFolder{path, begun})
		}
	}
	slices.SortStableFunc(list, func(a, b datedFolder) int { return b.begun.Compare(a.begun) })
	return list, nil
}

// Identity is the model of a session and when it began, without judging it.
func Identity(folder string) (model string, begun time.Time, err error) {
	f := session.Folder(folder)
	if !f.Exists() {
		r, err := read(f)
		if err != nil {
			return "", time.Time{}, err
		}
		return r.Model, r.Begun, nil
	}
	s, err := f.ReadSheet()
	if err != nil {
		return "", time.Time{}, err
	}
	start, err := f.Begun()
	return s.Model, record.WallTime(start.WallNS), err
}
