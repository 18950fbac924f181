package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of presets.
const (
	flagsLosses       = "the receiver flags a failsafe when the signal is lost"
	flagComesWithin   = "the failsafe flag comes within %s of the last live frame"
	controlBackWithin = "control is back within %s of the transmitter being switched on again"
	stoodAndStayed    = "%s stood at %s when the signal went and stayed: %s; put it elsewhere before the next loss"
)

// failsafe judges what losses of the signal brought.
type failsafe struct {
	// Stayed is where channels that are to hold stood in a loss and rest by
	// themselves: a preset may be just there. Two losses at two places show a hold.
	Stayed map[string]unit.Width `json:"stayed"`
	Phone  phone                 `json:"phone"`
}

func newFailsafe(b *Book) *failsafe {
	f := b.sheet.Failsafe
	if f.Flag != "absent" {
		b.add(FamilyFailsafe.of("flag"), flagsLosses, losing(DoLoseSignal), TopicFailsafe)
		b.add(FamilyFailsafe.of("time"), fmt.Sprintf(flagComesWithin, unit.FormatDuration(f.Within)),
			losing(DoLoseSignal), TopicFailsafe)
	}
	for i := range b.sheet.Channels {
		c := &b.sheet.Channels[i]
		if p, ok := f.Heard.Of(c.Number); ok && !b.sheet.Digital(c.Number) {
			b.add(FamilyFailsafe.ofChannel(c), fmt.Sprintf("without a signal %s %s", c.Name, wantedPreset(p)),
				losing(DoLoseAway), TopicFailsafe, c.Name)
		}
	}
	if mode, ok := wantedMode(b.sheet); ok {
		b.add(FamilyFailsafe.of("mode"), "without a signal the bus asks for "+text.ModeName(mode.name),
			losing(DoLoseSignal), TopicFailsafe)
	}
	b.add(FamilyFailsafe.of("back"), fmt.Sprintf(controlBackWithin, unit.FormatDuration(backWithin)),
		losing(DoLoseSignal), TopicFailsafe)
	return &failsafe{Stayed: map[string]unit.Width{}}
}

// chance reports that a channel which stayed may have stood at its preset by chance.
func (f *failsafe) chance(c *sheet.Channel, p sheet.Preset, width, tolerance unit.Width) bool {
	if p.Rule != sheet.Hold {
		return true
	}
	if !c.RestsNear(width, sheet.VisibleChange) {
		return false
	}
	before, seen := f.Stayed[c.Name]
	f.Stayed[c.Name] = width
	return !seen || unit.Abs(before-width) <= tolerance
}

func stayed(c *sheet.Channel, width unit.Width) string {
	return fmt.Sprintf(stoodAndStayed, c.Name, unit.FormatWidth(width), text.PresetOrHold)
}

// forget is for what was changed since.
func (f *failsafe) forget(what string, _ unit.Time) {
	if what == TopicAll || what == TopicFailsafe {
		clear(f.Stayed)
	}
	delete(f.Stayed, what)
}

func wantedPreset(p sheet.Preset) string {
	switch p.Rule {
	case sheet.Hold:
		return "holds"
	case sheet.AtMost:
		return "stands at " + unit.FormatWidth(p.Width) + " or less"
	case sheet.AtLeast:
		return "stands at " + unit.FormatWidth(p.Width) + " or more"
	case sheet.AtPlace:
		return "stands at " + p.Place + ", " + unit.FormatWidth(p.Width)
	}
	return "stands at " + unit.FormatWidth(p.Width)
}

// see judges a loss when it is over. What a failsafe flag says while it goes on is
// not the whole of it: a receiver may hold for seconds and then go elsewhere.
func (f *failsafe) see(e *event.Event, b *Book) {
	f.Phone.hears(e)
	if d, ok := e.Data.(event.LossData); ok {
		f.lost(&d, event.Span{From: e.From, To: e.At}, b)
	}
}
