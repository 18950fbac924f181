package world

import (
	"slices"
	"strconv"
	"time"

	"benchproof.example/decode/servobus"
)

// The words of a receiver's choices.
var (
	footerWords = []string{"classic", "slots"}
	wakesWords  = []string{"presets", "neutral", "silent"} // like onLossWords
	flagWords   = []string{"both", "lost", "failsafe", "none"}
	flagSets    = []uint8{servobus.FlagFrameLost | servobus.FlagFailsafe, servobus.FlagFrameLost, servobus.FlagFailsafe, 0}
)

// flagWord is the word for the flags of a frame.
func flagWord(flags uint8) string { return flagWords[slices.Index(flagSets, flags&flagSets[0])] }

// option is one option of a receiver.
type option struct {
	word string
	read func(*parser, *tapPlan)
}

func receiverOptions() []option {
	return []option{
		{"flags", func(p *parser, t *tapPlan) { t.flags = flagSets[p.oneOf(flagWords...)] }},
		{"after", func(p *parser, t *tapPlan) {
			t.after = p.spans("the time to failsafe", 50*time.Millisecond, time.Minute)
		}},
		{"period", func(p *parser, t *tapPlan) {
			t.period = p.span("the time from frame to frame", 3500*time.Microsecond, time.Second)
		}},
		{"footer", func(p *parser, t *tapPlan) { t.slots = footerWords[p.oneOf(footerWords...)] == "slots" }},
		{"regain", (*parser).regain},
		{"chatter", func(p *parser, t *tapPlan) { t.chatter = int(p.whole("foreign bytes", 0, 1000)) }},
		{"holds", func(p *parser, t *tapPlan) {
			t.holds = p.spans("how long it holds in failsafe", time.Millisecond, time.Minute)
		}},
		{"ramp", func(p *parser, t *tapPlan) {
			t.ramp = p.spans("the way to the presets", time.Millisecond, time.Minute)
		}},
		{"misses", func(p *parser, t *tapPlan) {
			t.misses = p.spans("the time to the frame-lost flag", time.Millisecond, time.Minute)
		}},
		{"flagged", func(p *parser, t *tapPlan) {
			t.flagged = p.spans("the time to the failsafe flag", 50*time.Millisecond, time.Minute)
		}},
		{"wakes", func(p *parser, t *tapPlan) { t.wakes = onLoss(p.oneOf(wakesWords...)) }},
		{"always", (*parser).alwaysFlags},
		{"early", func(p *parser, t *tapPlan) { t.early = flagSets[p.oneOf(flagWords...)] }},
	}
}

func (p *parser) receiver() {
	t := tapPlan{
		name:    p.name("the receiver's name"),
		onLoss:  onLoss(p.oneOf(onLossWords...)),
		flags:   flagSets[0],
		after:   fixed(int64(900 * time.Millisecond)),
		period:  int64(7 * time.Millisecond),
		presets: map[int]spread{},
		burst:   1,
	}
	p.refuseTakenTap(t.name)
	var words, given []string
	for _, o := range receiverOptions() {
		words = append(words, o.word)
	}
	p.options(words, func(word string) {
		given = append(given, word)
		receiverOptions()[slices.Index(words, word)].read(p, &t)
	})
	if !slices.Contains(given, "wakes") {
		t.wakes = t.onLoss
	}
	if !slices.Contains(given, "early") {
		t.early = t.flags
	}
	p.checkReceiver(&t)
	p.script.taps = append(p.script.taps, t)
}

// refuseTakenTap wants a name of its own.
func (p *parser) refuseTakenTap(name string) {
	if slices.Contains(p.script.TapNames(), name) || name == transmitterName || name == secondName || name == computerName {
		p.refuse(strconv.Quote(name)+" again", "a name of its own for each receiver and board")
	}
}

// regain reads how a receiver comes back, if it does.
func (p *parser) regain(t *tapPlan) {
	if p.more() && p.words[0] == "never" {
		p.word("")
		t.neverBack = true
		return
	}
	t.regain = p.spans("the time to regain, or never", 0, time.Minute)
}

// checkReceiver refuses options that don't go together.
func (p *parser) checkReceiver(t *tapPlan) {
	if p.mistake != nil {
		return
	}
	if room := (t.period - servobus.FrameTime - replyGap - 2*jitter) / servobus.CharTime; int64(t.chatter) > room {
		p.refuse("chatter "+strconv.Itoa(t.chatter), "at most "+strconv.FormatInt(max(room, 0), 10)+" bytes: more don't fit between two frames")
	}
	kind := onLossWords[t.onLoss]
	switch {
	case t.holds.high > 0 && t.onLoss == onLossHold:
		p.refuse("holds for a receiver that is "+kind, "holds only where something else follows")
	case t.ramp.high > 0 && t.onLoss != onLossPreset:
		p.refuse("a ramp for a receiver that is "+kind, "a ramp only to presets")
	case t.wakes == onLossPreset && t.onLoss != onLossPreset:
		p.refuse("presets before the first link for a receiver that is "+kind, "wakes neutral or silent")
	case t.flagged.high > 0 && t.flagged.low < t.after.high:
		p.refuse("a failsafe flag after "+time.Duration(t.flagged.low).String(),
			"a time not before failsafe, "+time.Duration(t.after.high).String()+"; for values that leave after the flag use holds")
	}
}
