package standin

import (
	"strconv"
	"time"

	"benchproof.example/decode/servobus"
)

// The words of a receiver's two choices.
var (
	flagWords   = []string{"both", "lost", "failsafe", "none"}
	footerWords = []string{"classic", "slots"}
)

func (p *parser) receiver() {
	t := tapPlan{
		name:      p.name("the receiver's name"),
		onLoss:    onLoss(p.oneOf(onLossWords...)),
		flagsLost: true, flagsFailsafe: true,
		after:   int64(900 * time.Millisecond),
		period:  int64(7 * time.Millisecond),
		presets: map[int]uint16{},
		burst:   1,
	}
	if p.script.tapNamed(t.name) >= 0 || t.name == transmitterName {
		p.refuse(strconv.Quote(t.name)+" again", "a name of its own for each receiver")
	}
	words := []string{"flags", "after", "period", "footer", "regain", "chatter"}
	p.options(words, func(option string) { p.receiverOption(&t, option) })
	if room := (t.period - servobus.FrameTime - replyGap - 2*jitter) / servobus.CharTime; p.mistake == nil && int64(t.chatter) > room {
		p.refuse("chatter "+strconv.Itoa(t.chatter), "at most "+strconv.FormatInt(max(room, 0), 10)+" bytes: more don't fit between two frames")
	}
	p.script.taps = append(p.script.taps, t)
}

func (p *parser) receiverOption(t *tapPlan, option string) {
	switch option {
	case "flags":
		set := flagWords[p.oneOf(flagWords...)]
		t.flagsLost = set == "both" || set == "lost"
		t.flagsFailsafe = set == "both" || set == "failsafe"
	case "after":
		t.after = p.span("the time to failsafe", 50*time.Millisecond, time.Minute)
	case "period":
		t.period = p.span("the time from frame to frame", 3500*time.Microsecond, time.Second)
	case "footer":
		t.slots = footerWords[p.oneOf(footerWords...)] == "slots"
	case "regain":
		t.regain = p.span("the time to regain", 0, time.Minute)
	case "chatter":
		t.chatter = int(p.whole("foreign bytes", 0, 1000))
	}
}
