package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// lost judges a loss that was measured to its end. What its flags date has been
// judged when they came; here comes what only the whole of it shows.
func (f *failsafe) lost(d *fact.LossData, span fact.Span, b *Book) {
	if d.Class == fact.LossNone || d.Class == fact.LossUnclear && d.Flag == fact.NeverFlag {
		f.untold(d, b)
		return
	}
	found := map[string]string{}
	for _, x := range Findings(b.sheet, d) {
		found[x.Code] = x.Text
	}
	times := map[string]int64{"lost_ns": int64(d.LostNS), "after_ns": int64(d.FailsafeNS), "settled_ns": int64(d.SettledNS)}
	if why, never := found[FlagNever]; never && b.sheet.Failsafe.Flag == "required" {
		b.wrong("failsafe/flag", why, span, times)
		b.wrong("failsafe/time", why, span, times)
	}
	if short(b.sheet, d) {
		f.back(d, found, span, b)
		return
	}
	if why, late := found[SettledLate]; late {
		b.wrong("failsafe/time", why+": shorten the receiver's delay, if it has one", span, times)
	}
	for i := range d.Channels {
		if c, ok := b.sheet.Channel(i + 1); ok {
			f.channel(c, &d.Channels[i], d, span, b)
		}
	}
	f.mode(d, found, span, b)
	f.back(d, found, span, b)
}

// untold says of what is still open why it could not be judged.
func (f *failsafe) untold(d *fact.LossData, b *Book) {
	for _, x := range Findings(b.sheet, d) {
		if x.Code != NothingLost && x.Code != CouldNotTell {
			continue
		}
		for _, c := range b.claims {
			if c.Verdict == Open && c.Drill == fact.FailsafeDrill {
				c.Sentence = c.open + "; " + x.Text
			}
		}
	}
}

// channel judges what no flag dated, and says more of what is wrong.
func (f *failsafe) channel(c *sheet.Channel, l *fact.LossChannel, d *fact.LossData, span fact.Span, b *Book) {
	want, ok := b.sheet.Preset(c.Number)
	if !ok || l.Class == fact.LossSilent || l.Class == fact.LossMoving {
		return
	}
	id, figures := "failsafe/"+c.Name, map[string]int64{"was_ns": l.WasNS, "now_ns": l.NowNS}
	tolerance := b.sheet.Tolerance.Preset
	if l.Class == fact.LossUnclear && f.chance(c, want, l.NowNS, tolerance) {
		b.unclear(id, stayed(c, l.WasNS))
		return
	}
	if !want.Met(l.WasNS, l.NowNS, tolerance) {
		texts := channelFindings(b.sheet, c, l)
		sentence := texts[0].Text
		for _, more := range texts[1:] {
			sentence += "; " + more.Text
		}
		b.wrong(id, "without a signal "+sentence, span, figures)
		return
	}
	if d.FailsafeNS < 0 {
		b.right(id, fmt.Sprintf("without a signal %s stood at %s, as the sheet wants; it stood at %s before", c.Name, say.Width(l.NowNS), say.Width(l.WasNS)), span, figures)
	}
}

func (f *failsafe) mode(d *fact.LossData, found map[string]string, span fact.Span, b *Book) {
	want, ok := wantedMode(b.sheet)
	if !ok || !want.told(d) {
		return
	}
	figures := map[string]int64{"after_ns": int64(d.ModeNS)}
	if d.Mode == want.name {
		b.right("failsafe/mode", fmt.Sprintf("without a signal the bus asks for %s, %s after the last live frame", say.Mode(want.name), say.Span(d.ModeNS)), span, figures)
		return
	}
	b.wrong("failsafe/mode", found[ModeElsewhere], span, figures)
}

func (f *failsafe) back(d *fact.LossData, found map[string]string, span fact.Span, b *Book) {
	if d.OnNS < 0 && d.BackNS >= 0 && d.Drill == fact.FailsafeDrill {
		b.right("failsafe/back", "control was back before the transmitter was said to be on", span, nil)
		return
	}
	if d.OnNS < 0 {
		return
	}
	figures := map[string]int64{"back_ns": int64(max(0, d.BackNS-d.OnNS))}
	for _, code := range []string{BackNever, BackLate} {
		if why, ok := found[code]; ok {
			b.wrong("failsafe/back", why, span, figures)
			return
		}
	}
	b.right("failsafe/back", fmt.Sprintf("control was back %s after the transmitter was said to be on", say.Span(max(0, d.BackNS-d.OnNS))), span, figures)
}
