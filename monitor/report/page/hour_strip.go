package page

import (
	"fmt"
	"slices"
	"time"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// hourStrip is the worst hour, minute by minute: a cell as in the strip of the days, and below
// it a bar for the share of frames that were missed in the minute.
type hourStrip struct {
	W, H    int
	Label   string
	Words   string // the account's
	Cells   []dayCell
	Bars    []zoneRect
	Base    int    // where bars stand
	Most    string // what the highest bar stands for
	Minutes []tick
	Legend  []legendEntry // of what the strip of the days does not show
}

// zoneRect is a bar.
type zoneRect struct{ X, Y, W, H int }

// Where it is drawn, px.
const (
	minuteWidth = rowWidth / 60
	barsTop     = stripTop + cellHeight + 6
	barsHeight  = 22
)

// newHourStrip is the worst hour, nil where nothing happened in any; days have their own legend.
func newHourStrip(a *state.Account, t *state.TapAccount, begun time.Time, days *dayStrip) *hourStrip {
	worst := t.WorstHour
	if worst == nil {
		return nil
	}
	date := func(t unit.Time) string { return soakDate(begun, t) }
	s := &hourStrip{
		W: stripWidth, Base: barsTop + barsHeight, Words: account.WorstHour(t, date),
		Label: fmt.Sprintf("The worst hour of %s, from %s on, minute by minute", t.Name, date(worst.FromNS)),
	}
	s.H = s.Base + 16
	most := 0.0
	for i := range worst.Minutes {
		most = max(most, missedShare(&worst.Minutes[i]))
	}
	for i := range worst.Minutes {
		m := &worst.Minutes[i]
		from := worst.FromNS.Add(unit.Duration(i) * unit.Minute)
		c := dayCell{
			X: stripLeft + i*minuteWidth, Y: stripTop, W: minuteWidth - 1, H: cellHeight,
			Kind: kindOf(m, min(unit.Minute, a.UntilNS.Sub(from))), Title: date(from) + ": " + wordsOf(t, m),
		}
		if c.Kind == cellOutage {
			c.Text = fmt.Sprint(m.Outages)
		}
		s.Cells = append(s.Cells, c)
		if share := missedShare(m); share > 0 {
			height := max(1, int(share/most*barsHeight))
			s.Bars = append(s.Bars, zoneRect{X: c.X, Y: s.Base - height, W: c.W, H: height})
		}
	}
	s.Legend = legend(t, func(k cellKind) (string, bool) {
		return "", !days.has(k) && slices.ContainsFunc(s.Cells, func(c dayCell) bool { return c.Kind == k })
	})
	if most > 0 {
		s.Most = fmt.Sprintf("up to %.2g %%", most*100)
	}
	for i := 0; i <= 60; i += 10 {
		at := worst.FromNS.Add(unit.Duration(i) * unit.Minute)
		s.Minutes = append(s.Minutes, tick{X: fmt.Sprint(stripLeft + i*minuteWidth), Y: s.Base + 12, Text: begun.Add(time.Duration(at)).UTC().Format("15:04")})
	}
	return s
}

func missedShare(m *state.SoakHour) float64 { return float64(m.Missed) / float64(max(1, m.Frames)) }
