package compare

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// LongRun is from which live time on a session is compared as a long run.
const LongRun = 60 * unit.Minute

// Soak is what differs between two sessions as long runs.
type Soak struct {
	Unlike []Edit    `json:"unlike"` // conditions that differ or that one does not declare: path is what is declared
	Taps   []SoakTap `json:"taps"`   // buses that both have, in the order of the later one
}

// SoakTap is a bus in both runs.
type SoakTap struct {
	Name  string   `json:"name"`
	Leads bool     `json:"leads,omitempty"` // servo leads, listened to without a bus: what is counted are silences of outputs
	Then  SoakSide `json:"then"`
	Now   SoakSide `json:"now"`

	// ShareDiffers reports that both shares of missed frames have their doubt, and these do not
	// meet: more than chance explains within a session. Sessions differ by themselves, too.
	ShareDiffers bool `json:"share_differs"`
	// Earlier is the comparison with earlier sessions that declare the same; absent where there are too few.
	Earlier *SoakEarlier `json:"earlier,omitempty"`
}

// SoakSide is a bus in one of them.
type SoakSide struct {
	LiveNS     unit.Duration      `json:"live_ns"`
	Outages    int64              `json:"outages"`
	Occasions  int64              `json:"occasions"`
	OneInHours int64              `json:"one_in_hours"` // on average at most one occasion in so many, 95 % sure; 0: no claim
	Gone       bool               `json:"gone"`         // at its end the signal was gone, and it did not come back
	Frames     int64              `json:"frames"`
	Missed     int64              `json:"missed"`
	Share      *state.MissedShare `json:"share,omitempty"`
}

// SoakEarlier compares the share of missed frames with those of earlier sessions.
type SoakEarlier struct {
	Sessions    int   `json:"sessions"`
	Thousandths int64 `json:"thousandths"` // how likely one more of their kind misses as large a share, at most
}

// Worse reports that a share so large is no chance, less than one time in twenty.
func (a *SoakEarlier) Worse() bool { return a != nil && a.Thousandths <= 50 }

// IsLongRun reports whether a session says something as a long run.
func IsLongRun(r *record.Record) bool {
	return r.Account != nil && slices.ContainsFunc(r.Account.Taps, func(t state.TapAccount) bool { return t.LiveNS >= LongRun })
}

// soaks compares two sessions as long runs; nil where one is none.
func soaks(then, now *record.Record) *Soak {
	if !IsLongRun(then) || !IsLongRun(now) {
		return nil
	}
	s := &Soak{Unlike: unlike(then.Account, now.Account), Taps: []SoakTap{}}
	for i := range now.Account.Taps {
		is := &now.Account.Taps[i]
		if was := tapCalled(then.Account, is.Name); was != nil && (was.Leads != nil) == (is.Leads != nil) {
			s.Taps = append(s.Taps, SoakTap{Name: is.Name, Leads: is.Leads != nil, Then: sideOf(was), Now: sideOf(is), ShareDiffers: apart(was.Share, is.Share)})
		}
	}
	return s
}

// unlike are the conditions that are not known to be alike: those that neither declares, too.
func unlike(then, now *state.Account) []Edit {
	list := []Edit{}
	for _, is := range now.Conditions {
		was := ""
		if i := slices.IndexFunc(then.Conditions, func(c state.SoakCondition) bool { return c.What == is.What }); i >= 0 {
			was = then.Conditions[i].Is
		}
		if was != is.Is || is.Is == "" {
			list = append(list, Edit{Path: is.What, Then: was, Now: is.Is})
		}
	}
	return list
}

func tapCalled(a *state.Account, name string) *state.TapAccount {
	for i := range a.Taps {
		if a.Taps[i].Name == name {
			return &a.Taps[i]
		}
	}
	return nil
}

func sideOf(t *state.TapAccount) SoakSide {
	return SoakSide{
		LiveNS: t.LiveNS, Outages: t.Outages, Occasions: t.Occasions, OneInHours: t.OneInHours, Gone: t.GoneSinceNS >= 0,
		Frames: t.Frames, Missed: t.Missed, Share: t.Share,
	}
}

// apart reports that two shares, each with its doubt, do not meet.
func apart(a, b *state.MissedShare) bool {
	return a != nil && b != nil && (a.High < b.Low || b.High < a.Low)
}

// Against compares the later run with earlier ones of the same model that declare the same;
// others among them are left out. From share.MinSessions on it may be called worse.
func (s *Soak) Against(now *record.Record, earlier []*record.Record) {
	for i := range s.Taps {
		t := &s.Taps[i]
		slots := []share.Slot{}
		for _, r := range earlier {
			if !IsLongRun(r) || !sameConditions(r.Account, now.Account) {
				continue
			}
			if was := tapCalled(r.Account, t.Name); was != nil && was.LiveNS >= LongRun {
				slots = append(slots, share.Slot{Missed: was.Missed, Frames: was.Frames})
			}
		}
		if p, ok := share.Against(share.Slot{Missed: t.Now.Missed, Frames: t.Now.Frames}, slots); ok && t.Now.LiveNS >= LongRun {
			t.Earlier = &SoakEarlier{Sessions: len(slots), Thousandths: p}
		}
	}
}

// sameConditions reports that two runs declare the same, and anything at all.
func sameConditions(a, b *state.Account) bool {
	declares := slices.ContainsFunc(b.Conditions, func(c state.SoakCondition) bool { return c.Is != "" })
	return declares && slices.Equal(a.Conditions, b.Conditions)
}

// Sentences say what differs, and how far that may be relied upon; like with like comes first.
func (s *Soak) Sentences() (list []string) {
	if len(s.Unlike) == 0 {
		list = append(list, "Long run: both were done under the same declared conditions")
	}
	var neither []string
	for _, c := range s.Unlike {
		switch {
		case c.Then == "" && c.Now == "":
			neither = append(neither, c.Path)
		case c.Then == "" || c.Now == "":
			list = append(list, fmt.Sprintf("Long run, not known to be like with like: %s: %s then, %s now", c.Path, declaredAs(c.Then), declaredAs(c.Now)))
		default:
			list = append(list, fmt.Sprintf("Long run, NOT like with like: %s: %s then, %s now", c.Path, c.Then, c.Now))
		}
	}
	if len(neither) > 0 {
		list = append(list, "Long run, not known to be like with like, since neither session declares it: "+strings.Join(neither, ", "))
	}
	for i := range s.Taps {
		list = append(list, s.Taps[i].sentences()...)
	}
	return list
}

func declaredAs(s string) string {
	if s == "" {
		return "not declared"
	}
	return s
}

// aHigherCount stands behind counts of two runs that differ.
const aHigherCount = "A higher count shows nothing by itself: runs differ by themselves"

func (t *SoakTap) sentences() []string {
	what, goes := "outages", "the signal"
	if t.Leads {
		what, goes = "silences of outputs", "an output"
	}
	counts := fmt.Sprintf("Long run, %s: %s: %s then, %s now", t.Name, what, t.Then.counted(goes), t.Now.counted(goes))
	if t.Then.Outages != t.Now.Outages {
		counts += ". " + aHigherCount
	}
	list := []string{counts, fmt.Sprintf("Long run, %s: proven: %s", t.Name, t.bounds())}
	if t.Leads {
		return list
	}
	return append(list, fmt.Sprintf("Long run, %s: missed on the air %s then, %s now: %s", t.Name, t.Then.missed(), t.Now.missed(), t.judged()))
}

// counted says how often something happened; goes is what may have gone at the end.
func (s *SoakSide) counted(goes string) string {
	n := "none"
	if s.Outages > 0 {
		n = fmt.Sprintf("%s (occasions: %s)", text.Count(s.Outages), text.Count(s.Occasions))
	}
	n += " in " + unit.FormatSpan(s.LiveNS)
	if s.Gone {
		n += ", and then " + goes + " went and did not come back,"
	}
	return n
}

// bounds says what either run proves.
func (t *SoakTap) bounds() string {
	if t.Then.OneInHours == 0 && t.Now.OneInHours == 0 {
		return "nothing either time of how rare they are"
	}
	return fmt.Sprintf("%s then, %s now", t.Then.bound(), t.Now.bound())
}

func (s *SoakSide) bound() string {
	if s.OneInHours == 0 {
		return "nothing"
	}
	return fmt.Sprintf("on average no more often than once in %d h (95 %% sure)", s.OneInHours)
}

func (s *SoakSide) missed() string {
	if s.Share == nil {
		return fmt.Sprintf("%s of %s frames", text.Count(s.Missed), text.Count(s.Frames))
	}
	return fmt.Sprintf("%s (%s to %s)", account.Percent(s.Share.PPM), account.Percent(s.Share.Low), account.Percent(s.Share.High))
}

// judged says whether the shares differ.
func (t *SoakTap) judged() string {
	switch {
	case t.Earlier.Worse():
		return fmt.Sprintf("MORE than in %d earlier sessions that declare the same: one more of their kind misses so much in %d of 1000 cases",
			t.Earlier.Sessions, t.Earlier.Thousandths)
	case t.Earlier != nil:
		return fmt.Sprintf("no more than %d earlier sessions that declare the same lead one to expect", t.Earlier.Sessions)
	case t.ShareDiffers:
		return fmt.Sprintf("it differs from that session. Sessions differ by themselves: it takes %d or more that declare the same to call one worse",
			share.MinSessions)
	case t.Then.Share == nil || t.Now.Share == nil:
		return "too few runs of missed frames for a share with its doubt, so nothing is said"
	}
	return "no difference was seen"
}
