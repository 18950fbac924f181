package script

import (
	"slices"
	"strconv"
	"time"

	"benchproof.example/monitor/sim/world"
)

// alwaysFlags reads the flags that a receiver sets in every frame.
func (p *parser) alwaysFlags(t *world.ReceiverPlan) { t.AlwaysFlags = flagSets[p.oneOf(flagWords...)] }

// option is one option of a receiver.
type option struct {
	word string
	read func(*parser, *world.ReceiverPlan)
}

func receiverOptions() []option {
	return []option{
		{"flags", func(p *parser, t *world.ReceiverPlan) { t.Flags = flagSets[p.oneOf(flagWords...)] }},
		{"after", func(p *parser, t *world.ReceiverPlan) {
			t.FailsafeAfter = p.spans("the time to failsafe", 50*time.Millisecond, time.Minute)
		}},
		{"period", func(p *parser, t *world.ReceiverPlan) {
			t.Period = p.span("the time from frame to frame", 3500*time.Microsecond, time.Second)
		}},
		{"footer", func(p *parser, t *world.ReceiverPlan) {
			t.FooterSlots = footerWords[p.oneOf(footerWords...)] == "slots"
		}},
		{"regain", (*parser).regain},
		{"chatter", func(p *parser, t *world.ReceiverPlan) { t.Chatter = int(p.whole("foreign bytes", 0, 1000)) }},
		{"holds", func(p *parser, t *world.ReceiverPlan) {
			t.HoldsFor = p.spans("how long it holds in failsafe", time.Millisecond, time.Minute)
		}},
		{"ramp", func(p *parser, t *world.ReceiverPlan) {
			t.Ramp = p.spans("the way to the presets", time.Millisecond, time.Minute)
		}},
		{"misses", func(p *parser, t *world.ReceiverPlan) {
			t.LostFlagAfter = p.spans("the time to the frame-lost flag", time.Millisecond, time.Minute)
		}},
		{"flagged", func(p *parser, t *world.ReceiverPlan) {
			t.FailsafeFlagAfter = p.spans("the time to the failsafe flag", 50*time.Millisecond, time.Minute)
		}},
		{"wakes", func(p *parser, t *world.ReceiverPlan) { t.Wakes = world.LossKind(p.oneOf(wakesWords...)) }},
		{"always", (*parser).alwaysFlags},
		{"early", func(p *parser, t *world.ReceiverPlan) { t.EarlyFlags = flagSets[p.oneOf(flagWords...)] }},
	}
}

func (p *parser) receiver() {
	name := p.name("the receiver's name")
	t := world.NewReceiverPlan(name, world.LossKind(p.oneOf(onLossWords...)))
	p.refuseTakenTap(t.Name)
	var words, given []string
	for _, o := range receiverOptions() {
		words = append(words, o.word)
	}
	p.options(words, func(word string) {
		given = append(given, word)
		receiverOptions()[slices.Index(words, word)].read(p, &t)
	})
	if !slices.Contains(given, "early") {
		t.EarlyFlags = t.Flags
	}
	p.checkReceiver(&t)
	p.script.Receivers = append(p.script.Receivers, t)
}

// refuseTakenTap wants a name of its own.
func (p *parser) refuseTakenTap(name string) {
	if p.script.NameTaken(name) {
		p.refuse(strconv.Quote(name)+" again", "a name of its own for each receiver and board")
	}
}

// regain reads how a receiver comes back, if it does.
func (p *parser) regain(t *world.ReceiverPlan) {
	if p.more() && p.words[0] == "never" {
		p.word("")
		t.NeverBack = true
		return
	}
	t.RegainAfter = p.spans("the time to regain, or never", 0, time.Minute)
}

// checkReceiver refuses options that don't go together.
func (p *parser) checkReceiver(t *world.ReceiverPlan) {
	if p.mistake != nil {
		return
	}
	if room := t.ChatterRoom(); t.Chatter > room {
		p.refuse("chatter "+strconv.Itoa(t.Chatter), "at most "+strconv.Itoa(room)+" bytes: more don't fit between two frames")
	}
	kind := t.OnLoss.String()
	switch {
	case t.HoldsFor.High > 0 && t.OnLoss == world.LossHold:
		p.refuse("holds for a receiver that is "+kind, "holds only where something else follows")
	case t.Ramp.High > 0 && t.OnLoss != world.LossPreset:
		p.refuse("a ramp for a receiver that is "+kind, "a ramp only to presets")
	case t.Wakes == world.LossPreset && t.OnLoss != world.LossPreset:
		p.refuse("presets before the first link for a receiver that is "+kind, "wakes neutral or silent")
	case t.FailsafeFlagAfter.High > 0 && t.FailsafeFlagAfter.Low < t.FailsafeAfter.High:
		p.refuse("a failsafe flag after "+time.Duration(t.FailsafeFlagAfter.Low).String(),
			"a time not before failsafe, "+time.Duration(t.FailsafeAfter.High).String()+"; for values that leave after the flag use holds")
	}
}
