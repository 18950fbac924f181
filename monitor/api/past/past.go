// Package past has the sessions that lie beside one, for HTTP: it lists them, and gives or
// makes their bench reports. It writes nothing into their folders. What lies there may come
// from elsewhere: links and whatever is no plain file are passed over.
package past

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/earlier"
	"benchproof.example/monitor/session"
)

const (
	mostLooked = 500 // folders, those whose names come last: names begin with the date
	mostListed = 50

	// keptFor is how long a report that was made is given again without being made again, and
	// mostKept how many of them there are: a browser asks twice where it shows one.
	keptFor  = time.Minute
	mostKept = 4
)

// Sessions are those beside the one in a folder. It is an api.Past, of which one function may
// be called beside another.
type Sessions struct {
	Alone bool // what lies beside the session that runs is none of its business: it alone is listed

	above, own string // the folder of sessions, and the name of the one that runs
	now        func() time.Time

	mu   sync.Mutex
	made []madeReport // the latest last
}

type madeReport struct {
	name string
	at   time.Time
	html []byte
}

// New has the sessions beside the one in a folder.
func New(folder string) (*Sessions, error) {
	own, err := filepath.Abs(folder)
	if err != nil {
		return nil, fmt.Errorf("the sessions beside %s: %w", folder, err)
	}
	return &Sessions{above: filepath.Dir(own), own: filepath.Base(own), now: time.Now}, nil
}

// List implements api.Past.
func (s *Sessions) List(ctx context.Context) (list []api.PastSession, more int, err error) {
	names, err := s.names()
	if err != nil {
		return nil, 0, err
	}
	if more = len(names) - mostLooked; more > 0 {
		names = names[:mostLooked]
	}
	more = max(more, 0)
	for _, name := range names {
		if ctx.Err() != nil {
			return nil, 0, context.Cause(ctx)
		}
		model, begun, err := report.Identity(s.path(name))
		if err == nil {
			list = append(list, api.PastSession{Name: name, Model: model, Begun: begun, Running: name == s.own})
		}
	}
	slices.SortStableFunc(list, func(a, b api.PastSession) int { return b.Begun.Compare(a.Begun) })
	if n := len(list); n > mostListed {
		list, more = list[:mostListed], more+n-mostListed
	}
	for i := range list {
		s.complete(&list[i])
	}
	return list, more, ctx.Err()
}

// names are those of the folders, backwards: the latest first where they begin with a date.
func (s *Sessions) names() (list []string, err error) {
	if s.Alone {
		return []string{s.own}, nil
	}
	entries, err := os.ReadDir(s.above)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		if e.IsDir() { // a link is none
			list = append(list, e.Name())
		}
	}
	slices.SortFunc(list, func(a, b string) int { return strings.Compare(b, a) })
	return list, nil
}

func (s *Sessions) path(name string) string { return filepath.Join(s.above, name) }

// complete adds what the record tells, if there is one, and whether there is a report. Of the
// session that runs there may be those of an earlier run, which are of no use.
func (s *Sessions) complete(one *api.PastSession) {
	if one.Running {
		return
	}
	in, err := session.Folder(s.path(one.Name)).Open()
	if err != nil {
		return
	}
	defer func() { _ = in.Close() }()
	if data, err := files.Read(in, record.RecordFile, files.MaxRecord); err == nil {
		if r, err := record.Decode(data); err == nil {
			one.LengthNS, one.Count = r.LengthNS, &r.Count
		}
	}
	if f, err := in.Open(record.PageFile); err == nil {
		one.Report = f.Close() == nil
	}
}

// Report implements api.Past.
func (s *Sessions) Report(ctx context.Context, name string) ([]byte, error) {
	names, err := s.names()
	if err != nil {
		return nil, err
	}
	if !slices.Contains(names, name) {
		return nil, api.ErrNoSession
	}
	if html := s.written(name); html != nil {
		return html, nil
	}
	if html := s.madeBefore(name); html != nil {
		return html, nil
	}
	html, err := earlier.Report(ctx, s.path(name))
	switch {
	case errors.Is(err, report.ErrNoSession), errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%w: %w", api.ErrNoSession, err)
	case err != nil:
		return nil, err
	}
	s.keep(name, html)
	return html, nil
}

// written is the report in a session's folder, nil if there is none.
func (s *Sessions) written(name string) []byte {
	if name == s.own {
		return nil
	}
	in, err := session.Folder(s.path(name)).Open()
	if err != nil {
		return nil
	}
	defer func() { _ = in.Close() }()
	html, err := files.Read(in, record.PageFile, files.MaxRecord)
	if err != nil {
		return nil
	}
	return html
}

func (s *Sessions) madeBefore(name string) []byte {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, m := range s.made {
		if age := s.now().Sub(m.at); m.name == name && age >= 0 && age < keptFor {
			return m.html
		}
	}
	return nil
}

func (s *Sessions) keep(name string, html []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.made = slices.DeleteFunc(s.made, func(m madeReport) bool { return m.name == name })
	s.made = append(s.made, madeReport{name, s.now(), html})
	s.made = s.made[max(0, len(s.made)-mostKept):]
}
