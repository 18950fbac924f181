package sheet_test

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"testing"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// FuzzRead: no text makes Read panic, every mistake has a place and a sentence
// on one line, and a sheet that is read holds what others rely on.
func FuzzRead(f *testing.F) {
	f.Add(example(f))
	f.Add(sheet.Starter())
	for _, r := range refusals {
		f.Add(r.text(f))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := sheet.Read("bench.yaml", text)
		if err == nil {
			checkSheet(t, s)
			return
		}
		var mistakes sheet.Mistakes
		if s != nil || !errors.As(err, &mistakes) || len(mistakes) == 0 {
			t.Fatalf("got sheet %v and error %v, want no sheet and mistakes", s, err)
		}
		checkMistakes(t, mistakes)
	})
}

func checkMistakes(t *testing.T, mistakes sheet.Mistakes) {
	for _, m := range mistakes {
		if m.File != "bench.yaml" || m.Line < 1 || m.Column < 1 || m.Found == "" || m.Want == "" || strings.ContainsAny(m.Error(), "\n\r") {
			t.Errorf("mistake without a place or a sentence: %#v", m)
		}
	}
	if !slices.IsSortedFunc(mistakes, func(a, b sheet.Mistake) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	}) {
		t.Errorf("mistakes out of order: %v", mistakes)
	}
}

func checkSheet(t *testing.T, s *sheet.Sheet) {
	if s.Model == "" || len(s.Taps) == 0 || len(s.Channels) == 0 || s.Scale.Check() != nil {
		t.Fatalf("sheet without what every sheet has: %+v", s)
	}
	checkChannels(t, s)
	if s.Stabiliser == nil {
		return
	}
	for _, mode := range s.Stabiliser.Modes {
		for _, combination := range mode.WantedAt {
			checkWanted(t, s, mode.Name, combination)
		}
	}
}

func checkChannels(t *testing.T, s *sheet.Sheet) {
	last := 0
	for _, c := range s.Channels {
		named, ok := s.ByName(c.Name)
		if c.Number <= last || c.Number > 18 || !ok || named.Number != c.Number || len(c.Places) == 0 {
			t.Fatalf("channel %+v after channel %d", c, last)
		}
		last = c.Number
	}
}

// checkWanted: a wanted position asks for its mode, whatever the channels that
// it does not name.
func checkWanted(t *testing.T, s *sheet.Sheet, mode string, combination sheet.Combination) {
	for _, other := range []unit.Width{0, 1_500_000, 3_000_000} {
		got, ok := s.ModeAt(func(channel int) unit.Width {
			for _, setting := range combination {
				if setting.Channel == channel {
					return setting.Width
				}
			}
			return other
		})
		if !ok || got != mode {
			t.Errorf("%+v asks for %q, wanted for %q", combination, got, mode)
		}
	}
}
