//go:build !race

package monitor_test

import (
	"fmt"
	"strings"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/standin"
)

// verdicts says of the claims of a family why it is false that one was seen right, or
// wrong, at a moment; "" where it is not.
type verdicts struct {
	right, wrong func(w *world, id []string, at fact.Time) string
}

// correct is for what the model is set up to do: its claims are never wrong.
func correct(right func(w *world, id []string, at fact.Time) string) verdicts {
	return verdicts{right, func(*world, []string, fact.Time) string { return "the model is set up as the sheet wants" }}
}

// families of claims, by the first part of their IDs.
var claimFamilies = map[string]verdicts{
	"position":  correct(switchStood),
	"momentary": correct(switchMovedAtAll),
	"margin":    correct(modeStood),
	"mode":      correct(modeStood),
	"passing":   correct(anySwitch),
	"gain":      correct(controlMoved),
	"order":     correct(controlMoved), "alone": correct(controlMoved), "travel": correct(controlMoved),
	"neutral": correct(controlMoved), "clip": correct(controlMoved), "cut": correct(controlMoved), "idle": correct(controlMoved),
	"answers":  correct(controlMoved),
	"gesture":  {gestureNever, gestureWas},
	"link":     {linkRight, linkWrong},
	"failsafe": {failsafeRight, failsafeWrong},
	"powerup":  {powerUpRight, powerUpWrong},

	// leads: not judged here
	"moves": {}, "pulses": {}, "steady": {}, "jitter": {}, "correction": {}, "stick": {}, "response": {},
}

func verdictChanged(w *world, e *fact.Event) string {
	d := e.Data.(fact.VerdictData)
	return w.verdict(strings.TrimPrefix(e.About, "claim:"), claim.Verdict(d.Verdict), e.At)
}

// verdict says why a verdict is false at a moment, "" where it is not.
func (w *world) verdict(id string, v claim.Verdict, at fact.Time) string {
	part := strings.Split(id, "/")
	f, ok := claimFamilies[part[0]]
	if !ok {
		return "no predicate for this family of claims"
	}
	switch {
	case f.right == nil || len(part) > 1 && strings.HasPrefix(part[1], "output"):
	case v == claim.Right:
		if run(w.between(0, at), w.believable) < 0 {
			return "no four believable frames came"
		}
		return f.right(w, part, at)
	case v == claim.Wrong:
		return f.wrong(w, part, at)
	}
	return ""
}

// switchStood: the switch moved, and was at that place, live, for four frames.
func switchStood(w *world, id []string, at fact.Time) string {
	if why := switchMovedAtAll(w, id, at); why != "" {
		return why
	}
	c, _ := w.sh.ByName(id[1])
	place, _ := c.Place(id[2])
	if !w.stoodNear(w.between(0, at), c.Number, place.Width, w.sh.Tolerance.Position, w.believable) {
		return "it was not there for four frames"
	}
	return ""
}

func switchMovedAtAll(w *world, id []string, at fact.Time) string {
	if len(w.told("switch", id[1], "", at)) == 0 {
		return id[1] + " never moved"
	}
	return ""
}

// modeStood: each of the places that choose it, live, at one time.
func modeStood(w *world, id []string, at fact.Time) string {
	for _, m := range w.sh.Stabiliser.Modes {
		if m.Name != id[1] {
			continue
		}
		for _, combination := range m.WantedAt {
			if spelled(combination) == strings.Join(id[2:], "/") && w.combined(combination, at) {
				return ""
			}
		}
	}
	return "the switches were not there together for four frames, having moved"
}

func spelled(at sheet.Combination) string {
	var names []string
	for _, set := range at {
		names = append(names, set.Position)
	}
	return strings.Join(names, "/")
}

func (w *world) combined(at sheet.Combination, until fact.Time) bool {
	moved := false
	for _, set := range at {
		c, _ := w.sh.Channel(set.Channel)
		moved = moved || len(w.told("switch", c.Name, "", until)) > 0
	}
	return moved && run(w.between(0, until), func(f *standin.Frame) bool {
		for _, set := range at {
			c, _ := w.sh.Channel(set.Channel)
			place, _ := c.Place(set.Position)
			if off := w.width(&f.Frame, set.Channel) - place.Width; off > w.sh.Tolerance.Position || off < -w.sh.Tolerance.Position {
				return false
			}
		}
		return w.believable(f)
	}) >= 0
}

func anySwitch(w *world, _ []string, at fact.Time) string {
	if len(w.told("switch", "", "", at)) == 0 {
		return "no switch moved"
	}
	return ""
}

// controlMoved: the control that the ID names, or some stick, was moved while live.
func controlMoved(w *world, id []string, at fact.Time) string {
	name := ""
	for _, p := range id {
		if c, ok := w.sh.ByName(p); ok && c.Kind != sheet.Switch && c.Kind != sheet.Momentary {
			name = c.Name
		}
	}
	if name == "" && len(w.told("switch", "", "", at)) > 0 {
		return ""
	}
	if len(w.told("stick", name, "moving", at))+len(w.told("cut", name, "", at)) == 0 {
		return "nobody moved it"
	}
	return ""
}

func gestureOf(w *world, name string) (g *sheet.Gesture, channel string) {
	for i := range w.sh.Gestures {
		if w.sh.Gestures[i].Name == name {
			g = &w.sh.Gestures[i]
		}
	}
	c, _ := w.sh.Channel(g.Channel)
	return g, c.Name
}

// presses is how many movements there were within the time of a gesture, at most.
func (w *world) presses(name string, at fact.Time) (most int, g *sheet.Gesture) {
	g, channel := gestureOf(w, name)
	dates := w.told("switch", channel, g.To, at)
	for i := range dates {
		n := 0
		for _, d := range dates[i:] {
			if d-dates[i] <= fact.Time(g.Within)+slack {
				n++
			}
		}
		most = max(most, n)
	}
	return most, g
}

func gestureWas(w *world, id []string, at fact.Time) string {
	if n, g := w.presses(id[1], at); n < g.Times {
		return fmt.Sprintf("hands made %d movements", n)
	}
	return ""
}

func gestureNever(w *world, id []string, at fact.Time) string {
	const most, least = 600 * fact.Second, 590 * fact.Second
	_, channel := gestureOf(w, id[1])
	switch live := w.live(at); {
	case live < least:
		return fmt.Sprintf("heard live for %.1f s, %d s are the least", float64(live)/1e9, most/fact.Second)
	case len(w.told("switch", channel, "", at)) == 0:
		return channel + " never moved"
	}
	return ""
}

const (
	knownMovement = 16 * fact.Second // 20 s are the least; the rest is how it is reckoned
	spikesAreMany = 3
)

func linkRight(w *world, id []string, at fact.Time) string {
	switch id[1] {
	case "moving":
		moving := w.moving(at)
		if moving < knownMovement {
			return fmt.Sprintf("values moved for %.1f s only", float64(moving)/1e9)
		}
		for _, s := range w.heldSilently(fact.Time(w.sh.Failsafe.Within)) {
			switch {
			case s.To > at+slack || !w.handsMoved(s):
			case w.unseeable(s):
				w.unseen[s.From] = true
			default:
				return fmt.Sprintf("the receiver held what it had heard without a flag, from %.2f s to %.2f s", float64(s.From)/1e9, float64(s.To)/1e9)
			}
		}
	case "missed":
		if share, of := w.missed(at, 200*fact.Millisecond); of == 0 || share > 2*w.sh.Link.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "spikes":
		if w.live(at) < 10*fact.Second {
			return "heard live for less than 10 s"
		}
	}
	return ""
}

// handsMoved says whether a value was known to move when a hold began: a heartbeat
// beats, or a channel was under way at 200 µs/s or faster.
func (w *world) handsMoved(s fact.Span) bool {
	for ch := 1; ch <= servobus.Channels; ch++ {
		if _, moved := w.underWay(s, ch); moved {
			return true
		}
	}
	return w.sh.Heartbeat != nil && len(w.between(s.From-w.period, s.From+w.period/2)) > 0
}

// missed is the share of frames that were flagged, in parts per million, losses left
// out: those that lasted so long, and those with the failsafe flag.
func (w *world) missed(at, loss fact.Time) (ppm, of int64) {
	n := int64(0)
	for _, f := range w.between(0, at) {
		if f.Wrong {
			continue
		}
		if g := w.at(fact.Time(f.At)); g != nil && (g.lasts() > loss || g.flagged() >= 0) {
			continue
		}
		if of++; !plain(&f) {
			n++
		}
	}
	return n * 1_000_000 / max(of, 1), of
}

func linkWrong(w *world, id []string, at fact.Time) string {
	switch id[1] {
	case "moving":
		for _, s := range w.heldSilently(100 * fact.Millisecond) {
			if s.From <= at {
				return ""
			}
		}
		return "the receiver never held anything without a flag"
	case "missed":
		if share, of := w.missed(at, fact.Time(w.sh.Failsafe.Within)); !w.damage && share*2 < w.sh.Link.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "spikes":
		if n := w.garbles(at); n < spikesAreMany && !w.damage {
			return fmt.Sprintf("%d runs of frames were wrong", n)
		}
	}
	return ""
}

// garbles is how many runs of wrong frames there were up to a moment.
func (w *world) garbles(at fact.Time) (n int) {
	was := false
	for _, f := range w.between(0, at) {
		if f.Wrong && !was {
			n++
		}
		was = f.Wrong
	}
	return n
}

func powerUpRight(w *world, id []string, at fact.Time) string { return w.poweredUp(id[1], at, true) }
func powerUpWrong(w *world, id []string, at fact.Time) string { return w.poweredUp(id[1], at, false) }

// poweredUp looks at what stood on a channel between power coming back and the first
// live frame.
func (w *world) poweredUp(name string, at fact.Time, cut bool) string {
	c, _ := w.sh.ByName(name)
	place, _ := c.Place("cut")
	for _, on := range w.told("power", w.tap, "on", at) {
		var frames []standin.Frame
		for _, f := range w.between(on, at) {
			if f.Live {
				break
			}
			frames = append(frames, f)
		}
		if run(frames, func(f *standin.Frame) bool {
			off := w.width(&f.Frame, c.Number) - place.Width
			return (off <= w.sh.Tolerance.Preset && off >= -w.sh.Tolerance.Preset) == cut
		}) >= 0 {
			return ""
		}
	}
	return "no receiver that was switched on alone did so"
}

// failsafeRight and failsafeWrong: what some loss of a link really showed.
func failsafeRight(w *world, id []string, at fact.Time) string {
	return anyLoss(w, at, func(g *gone) string { return w.showsRight(g, id[1], at) })
}

func failsafeWrong(w *world, id []string, at fact.Time) string {
	return anyLoss(w, at, func(g *gone) string { return w.showsWrong(g, id[1], at) })
}

// anyLoss is "" if one of the losses shows it, or why the latest does not.
func anyLoss(w *world, at fact.Time, shows func(*gone) string) string {
	why := "no link was lost"
	for _, g := range w.ofLoss(at) {
		if why = shows(g); why == "" {
			return ""
		}
	}
	return why
}

func (w *world) showsRight(g *gone, what string, at fact.Time) string {
	within := fact.Time(w.sh.Failsafe.Within)
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
func (w *world) channelRight(g *gone, name string) string {
	c, _ := w.sh.ByName(name)
	p, _ := w.sh.Preset(c.Number)
	count, _, ok := g.rests(c.Number)
	now, was := w.sh.Scale.Width(int64(count)), w.width(g.was, c.Number)
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

func (w *world) showsWrong(g *gone, what string, at fact.Time) string {
	switch what {
	case "flag":
		if g.flagged() >= 0 || g.lasts() < fact.Time(w.sh.Failsafe.Within)-slack {
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

func (w *world) timeWrong(g *gone) string {
	f, within := g.flagged(), fact.Time(w.sh.Failsafe.Within)
	if g.lasts() >= within-slack && (f < 0 || f > within-slack || w.settledLate(g)) {
		return ""
	}
	return fmt.Sprintf("the failsafe flag came %.2f s after the last live frame, and the values in time; it lasted %.2f s", float64(f)/1e9, float64(g.lasts())/1e9)
}

// settledLate: a channel still went elsewhere later than the sheet allows.
func (w *world) settledLate(g *gone) bool {
	for ch := 1; ch <= servobus.Channels; ch++ {
		if _, since, ok := g.rests(ch); ok && since-g.from > fact.Time(w.sh.Failsafe.Within)-slack {
			return true
		}
	}
	return false
}

func (w *world) channelWrong(g *gone, name string) string {
	c, _ := w.sh.ByName(name)
	p, _ := w.sh.Preset(c.Number)
	count, _, ok := g.rests(c.Number)
	now, was := w.sh.Scale.Width(int64(count)), w.width(g.was, c.Number)
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
func (w *world) modeNames() (names []string) {
	for _, number := range w.sh.ModeChannels() {
		c, _ := w.sh.Channel(number)
		if p, ok := w.sh.Preset(number); ok && p.Rule != sheet.Hold {
			names = append(names, c.Name)
		}
	}
	return names
}

// asksFor compares the mode that a loss came to with that of the sheet's presets.
func (w *world) asksFor(g *gone, wanted bool) string {
	n := len(g.frames)
	if n < settles {
		return "no frames came"
	}
	last := g.frames[n-1].Frame
	got, _ := w.sh.ModeAt(func(ch int) int64 { return w.width(&last, ch) })
	want, _ := w.sh.ModeAt(func(ch int) int64 {
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
func (w *world) saidOn(g *gone, at fact.Time) fact.Time {
	for i := len(w.says) - 1; i >= 0; i-- {
		x := &w.says[i]
		if x.At <= at && x.At > g.from && strings.Contains(string(x.Data), "/"+fact.PromptOn+`"`) {
			return x.At
		}
	}
	return -1
}

const backIn = 3 * fact.Second

func (w *world) cameBack(g *gone, at fact.Time) string {
	on := w.saidOn(g, at)
	switch {
	case !g.back || g.to > at:
		return "it is not back"
	case on >= 0 && g.to-on > backIn+slack:
		return fmt.Sprintf("it came back %.2f s after", float64(g.to-on)/1e9)
	case len(w.told("signal", "", "on", at)) == 0:
		return "the transmitter was not on"
	}
	return ""
}

func (w *world) cameLate(g *gone, at fact.Time) string {
	on := w.saidOn(g, at)
	switch {
	case on < 0:
		return "nobody said that the transmitter was on"
	case g.back && g.to-on < backIn-slack:
		return fmt.Sprintf("it came back %.2f s after", float64(g.to-on)/1e9)
	}
	return ""
}
