package page

import (
	"cmp"
	"fmt"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// lossView is a loss of the signal as it is printed, or what the builder said to be one.
type lossView struct {
	Title    string
	Answer   string
	Times    [][2]string
	Channels []lossRow
	Plot     *plot
	Without  bool   // the widths beside the plot are those without a signal
	Same     string // in place of Answer where it went like the loss before, else ""
}

type lossRow struct{ Name, Was, Now, Outcome, Settled string }

type lossTime struct {
	name string
	at   unit.Duration // since the last live frame, -1: never
}

// newLoss prints the i-th loss of a record, from 0.
func newLoss(i int, r *record.Record, s *sheet.Sheet) lossView {
	l := &r.Losses[i]
	d := atRest(l.Data)
	v := lossView{Title: lossTitle(r.Losses, i), Answer: l.Answer, Times: lossTimes(&d)}
	if i > 0 && d.Shown() && alike(&r.Losses[i-1], l) {
		v.Same = "The receiver did the same once more, as the sheet wants."
		if len(wrongOf(l)) > 0 {
			v.Same = "The receiver did the same once more, and the same was wrong."
		}
	}
	for i := range d.Channels {
		if c, ok := s.Channel(i + 1); ok {
			v.Channels = append(v.Channels, newLossRow(c.Name, &d.Channels[i]))
		}
	}
	for i := range r.Traces {
		if r.Traces[i].ID == l.Trace {
			v.Plot = draw(&r.Traces[i], large, nil, moments(&d))
			v.Plot.ID += fmt.Sprintf("-loss-%d", i+1)
			v.Without = v.Plot.without(&r.Traces[i], &d)
		}
	}
	return v
}

// lossTitle is the heading of a loss. Those that the wire showed are numbered; what rests on
// the builder's word alone is none of them.
func lossTitle(list []record.Loss, i int) string {
	d := &list[i].Data
	title := "No loss was seen"
	if d.Shown() {
		title = fmt.Sprintf("Loss %d", shownUpTo(list, i))
	}
	if title += ", at " + record.FormatTenths(d.LiveNS); d.Drill != "" {
		title += ", in the drill " + d.Drill
	}
	return title
}

// shownUpTo counts the losses that the wire showed, up to the i-th, from 0.
func shownUpTo(list []record.Loss, i int) (n int) {
	for j := range list[:i+1] {
		if list[j].Data.Shown() {
			n++
		}
	}
	return n
}

// atRest is a loss without the time of rest where nothing moved: what stayed where it was
// did not come to rest.
func atRest(d event.LossData) event.LossData {
	if d.Class != event.LossPreset && d.Class != event.LossMixed {
		d.SettledNS = -1
	}
	return d
}

// lossTimes are the figures of a loss in the order in which they came.
func lossTimes(d *event.LossData) (list [][2]string) {
	all := slices.DeleteFunc([]lossTime{
		{"first frame flagged as lost", d.LostNS}, {"failsafe flag", d.FailsafeNS}, {"last frame before silence", d.SilentNS},
		{"last channel at rest", d.SettledNS}, {"mode asked for: " + text.ModeName(d.Mode), d.ModeNS},
		{"what the receiver did was judged up to here", d.WatchedNS},
		{"transmitter said to be on again", d.OnNS}, {"first live frame again", d.BackNS},
	}, func(t lossTime) bool { return t.at < 0 })
	slices.SortStableFunc(all, func(a, b lossTime) int { return cmp.Compare(a.at, b.at) })
	for _, t := range all {
		list = append(list, [2]string{t.name, unit.FormatDuration(t.at)})
	}
	return list
}

func newLossRow(name string, c *event.LossChannel) lossRow {
	row := lossRow{Name: name, Was: unit.FormatWidth(c.WasNS), Now: unit.FormatWidth(c.NowNS), Outcome: record.ChannelLossText(c), Settled: "–"}
	if c.Class == event.LossPreset && c.SettledNS >= 0 {
		row.Settled = unit.FormatDuration(c.SettledNS)
	}
	return row
}

func moments(d *event.LossData) []moment {
	list := []moment{{d.LiveNS, "last live frame"}}
	for _, m := range []struct {
		after unit.Duration
		text  string
	}{{d.FailsafeNS, "failsafe flag"}, {d.SettledNS, "values at rest"}, {d.BackNS, "live again"}} {
		if m.after >= 0 {
			list = append(list, moment{d.LiveNS.Add(m.after), fmt.Sprintf("%s, +%s", m.text, unit.FormatDuration(m.after))})
		}
	}
	return list
}

// without puts the widths without a signal beside the strips: those at the end of
// the trace are live again and say nothing about the loss.
func (p *plot) without(t *record.Trace, d *event.LossData) bool {
	if d.Class == event.LossNone {
		return false
	}
	for i := range t.Lines {
		if n := t.Lines[i].Channel; n < 1 || n > len(d.Channels) {
			return false
		}
	}
	for i := range p.Strips {
		p.Strips[i].Last = unit.FormatWidth(d.Channels[t.Lines[i].Channel-1].NowNS)
	}
	return true
}

// alike reports that the receiver did the same in two losses, and that the same was
// wrong with it, but for the doubt that the second settles.
func alike(a, b *record.Loss) bool {
	return a.Data.Class == b.Data.Class && a.Data.Flag == b.Data.Flag && a.Data.Mode == b.Data.Mode &&
		slices.Equal(wrongOf(a), wrongOf(b)) &&
		slices.EqualFunc(a.Data.Channels, b.Data.Channels, func(x, y event.LossChannel) bool {
			return (x.Class == event.LossPreset) == (y.Class == event.LossPreset)
		})
}

// wrongOf are the codes of what was wrong in a loss, without the doubt that the
// presets had not been sent yet.
func wrongOf(l *record.Loss) (codes []string) {
	for _, f := range l.Findings {
		if f.Code != claim.CodeNoPresetsYet {
			codes = append(codes, f.Code)
		}
	}
	return codes
}
