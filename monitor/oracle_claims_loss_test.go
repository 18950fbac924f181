package monitor_test

import (
	"fmt"
	"strings"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

func powerUpRight(w *scene, id []string, at unit.Time) string { return w.poweredUp(id[1], at, true) }

func powerUpWrong(w *scene, id []string, at unit.Time) string { return w.poweredUp(id[1], at, false) }

// poweredUp looks at what stood on a channel between power coming back and the first
// live frame.
func (w *scene) poweredUp(name string, at unit.Time, cut bool) string {
	c, _ := w.sh.ByName(name)
	place, _ := c.Place("cut")
	for _, on := range w.dates("power", w.tap, "on", at) {
		var frames []world.Frame
		for _, f := range w.between(on, at) {
			if f.Live {
				break
			}
			frames = append(frames, f)
		}
		if run(frames, func(f *world.Frame) bool {
			off := w.width(&f.Frame, c.Number) - place.Width
			return (off <= w.sh.Tolerance.Preset && off >= -w.sh.Tolerance.Preset) == cut
		}) >= 0 {
			return ""
		}
	}
	return "no receiver that was switched on alone did so"
}

// failsafeRight and failsafeWrong: what some loss of a link really showed.
func failsafeRight(w *scene, id []string, at unit.Time) string {
	return anyLoss(w, at, func(g *gone) string { return w.showsRight(g, id[1], at) })
}

func failsafeWrong(w *scene, id []string, at unit.Time) string {
	return anyLoss(w, at, func(g *gone) string { return w.showsWrong(g, id[1], at) })
}

// anyLoss is "" if one of the losses shows it, or why the latest does not.
func anyLoss(w *scene, at unit.Time, shows func(*gone) string) string {
	why := "no link was lost"
	for _, g := range w.ofLoss(at) {
		if why = shows(g); why == "" {
			return ""
		}
	}
	return why
}

func (w *scene) showsRight(g *gone, what string, at unit.Time) string {
	within := w.sh.Failsafe.Within
	switch what {
	case "flag":
		if g.flagged() < 0 {
			return "the failsafe flag never came"
		}
	case "time":
		if f := g.flagged(); f < 0 || f > within+slack {
			return fmt.Sprintf("the failsafe flag came %.2f s after the last live frame", float64(f)/1e9)
		}
	case "back":
		return w.cameBack(g, at)
	case "mode":
		for _, name := range w.modeNames() {
			if x := g.outcome[name]; x.To == "preset" {
				return w.asksFor(g, true)
			}
		}
		return "no mode channel went to a preset"
	default:
		return w.channelRight(g, what)
	}
	return ""
}

// channelRight: it is what the sheet wants, and not by chance.
func (w *scene) channelRight(g *gone, name string) string {
	c, _ := w.sh.ByName(name)
	p, _ := w.sh.Preset(c.Number)
	count, _, ok := g.rests(c.Number)
	now, was := w.sh.Width(count), w.width(g.was, c.Number)
	did := g.outcome[name].To
	switch {
	case !ok:
		return "its frames never agreed on a value"
	case p.Rule == sheet.Hold && did == "held":
	case !p.Met(was, now, w.sh.Tolerance.Preset):
		return fmt.Sprintf("it stood at %d, before at %d", now, was)
	case p.Rule == sheet.Hold && did != "held":
		return "it has a preset, or did not come to rest"
	case p.Rule != sheet.Hold && did != "preset":
		return "it held, or did not come to rest"
	}
	return ""
}

func (w *scene) showsWrong(g *gone, what string, at unit.Time) string {
	switch what {
	case "flag":
		if g.flagged() >= 0 || g.lasts() < w.sh.Failsafe.Within-slack {
			return "the failsafe flag came, or the loss was too short"
		}
	case "time":
		return w.timeWrong(g)
	case "back":
		return w.cameLate(g, at)
	case "mode":
		if g.lasts() < holdTold-slack && g.outcome[w.modeNames()[0]].To != "preset" {
			return "a hold that was not watched for 5 s"
		}
		return w.asksFor(g, false)
	default:
		return w.channelWrong(g, what)
	}
	return ""
}

func (w *scene) timeWrong(g *gone) string {
	f, within := g.flagged(), w.sh.Failsafe.Within
	if g.lasts() >= within-slack && (f < 0 || f > within-slack || w.settledLate(g)) {
		return ""
	}
	return fmt.Sprintf("the failsafe flag came %.2f s after the last live frame, and the values in time; it lasted %.2f s", float64(f)/1e9, float64(g.lasts())/1e9)
}

// settledLate: a channel still went elsewhere later than the sheet allows.
func (w *scene) settledLate(g *gone) bool {
	for ch := 1; ch <= servobus.Channels; ch++ {
		if _, since, ok := g.rests(ch); ok && since.Sub(g.from) > w.sh.Failsafe.Within-slack {
			return true
		}
	}
	return false
}

func (w *scene) channelWrong(g *gone, name string) string {
	c, _ := w.sh.ByName(name)
	p, _ := w.sh.Preset(c.Number)
	count, _, ok := g.rests(c.Number)
	now, was := w.sh.Width(count), w.width(g.was, c.Number)
	switch {
	case !ok:
		return "its frames never agreed on a value"
	case p.Rule == sheet.Hold && g.stayed(w, c.Number, count):
		return "it held"
	case p.Met(was, now, w.sh.Tolerance.Preset):
		return fmt.Sprintf("it stood at %d, before at %d, as the sheet wants", now, was)
	case g.outcome[name].To != "preset" && g.lasts() < holdTold-slack:
		return fmt.Sprintf("a hold that was watched for %.2f s", float64(g.lasts())/1e9)
	}
	return ""
}

// modeNames are the channels that choose what presets ask for.
func (w *scene) modeNames() (names []string) {
	for _, number := range w.sh.ModeChannels() {
		c, _ := w.sh.Channel(number)
		if p, ok := w.sh.Preset(number); ok && p.Rule != sheet.Hold {
			names = append(names, c.Name)
		}
	}
	return names
}

// asksFor compares the mode that a loss came to with that of the sheet's presets.
func (w *scene) asksFor(g *gone, wanted bool) string {
	n := len(g.frames)
	if n < settles {
		return "no frames came"
	}
	last := g.frames[n-1].Frame
	got, _ := w.sh.ModeAt(func(ch int) unit.Width { return w.width(&last, ch) })
	want, _ := w.sh.ModeAt(func(ch int) unit.Width {
		if p, ok := w.sh.Preset(ch); ok && p.Rule != sheet.Hold {
			return p.Width
		}
		return w.width(&last, ch)
	})
	if (got == want) != wanted {
		return fmt.Sprintf("it asked for %q", got)
	}
	return ""
}

// on is when the builder last said in the failsafe drill that the transmitter is on.
func (w *scene) saidOn(g *gone, at unit.Time) unit.Time {
	for i := len(w.says) - 1; i >= 0; i-- {
		x := &w.says[i]
		if x.At <= at && x.At > g.from && strings.Contains(string(x.Data), "/"+event.PromptOn+`"`) {
			return x.At
		}
	}
	return -1
}

const backIn = 3 * unit.Second

func (w *scene) cameBack(g *gone, at unit.Time) string {
	on := w.saidOn(g, at)
	switch {
	case !g.back || g.to > at:
		return "it is not back"
	case on >= 0 && g.to.Sub(on) > backIn+slack:
		return fmt.Sprintf("it came back %.2f s after", float64(g.to.Sub(on))/1e9)
	case len(w.dates("signal", "", "on", at)) == 0:
		return "the transmitter was not on"
	}
	return ""
}

func (w *scene) cameLate(g *gone, at unit.Time) string {
	on := w.saidOn(g, at)
	switch {
	case on < 0:
		return "nobody said that the transmitter was on"
	case g.back && g.to.Sub(on) < backIn-slack:
		return fmt.Sprintf("it came back %.2f s after", float64(g.to.Sub(on))/1e9)
	}
	return ""
}
