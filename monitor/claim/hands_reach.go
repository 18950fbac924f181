package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of controls that reach nothing.
const (
	reachedNoChannel = "%d movements in a row reached no channel of this bus: select this model's memory in the " +
		"transmitter, and check that this receiver is bound to it"
)

// handsLeastPrompts is how many prompts that ask for a movement must have been done
// without any channel moving before that says something.
const handsLeastPrompts = 3

// handsControls is how many controls those must have asked for: one alone may be
// assigned to nothing.
const handsControls = 2

// controlOf names what a prompt asks to be moved: the switches of the modes count as one,
// as does all that a tilt takes; the gain's knob as the same in every drill.
func controlOf(p *drill.Plan, ask drill.Ask, s *sheet.Sheet) string {
	switch {
	case p.Tilts, ask.Act == drill.ActPut, ask.Act == drill.ActPass:
		return "modes"
	case ask.Channel != 0:
		c, _ := s.Channel(ask.Channel)
		return c.Name
	}
	return p.Name
}

// handsReach judges that what the transmitter's controls do reaches this receiver at
// all: another model memory, or another receiver, answers to nothing.
type handsReach struct {
	Still int      `json:"still"` // prompts in a row that nothing answered
	Asked []string `json:"asked"` // the controls that those asked for
	Moved bool     `json:"moved"` // a channel has answered: then one that does not move shows something
	// Preset are the switches, by tap, whose latest stand was the receiver's, or may have been: one
	// that leaves it was moved by nobody.
	Preset map[string]bool `json:"preset"`
}

func newHandsReach() *handsReach { return &handsReach{Preset: map[string]bool{}} }

func (b *Book) claimHandsReach() {
	b.add(FamilyAnswers.of("controls"), "the transmitter's controls move this receiver's channels", Action{Do: DoMove, Drill: drill.Order})
}

func (h *handsReach) see(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	if newSource(e) {
		h.unknown(e.About)
	}
	switch d := e.Data.(type) {
	case event.SwitchData:
		theirs := believed(d.Signal, d.Suspect)
		if d.Was != "" && d.Was != d.To && theirs && !h.Preset[d.Tap+" "+e.About] {
			h.moved(span, b)
		}
		h.Preset[d.Tap+" "+e.About] = !theirs
	case event.DrillAnsweredData:
		if d.Frames > 0 && d.Signal == event.SignalLive { // standing still is no less so after a jump
			h.answered(&d, span, b)
		}
	}
}

// unknown forgets where the switches of a tap stood.
func (h *handsReach) unknown(about string) {
	tap, _ := event.AboutTap.Name(about)
	for which := range h.Preset {
		if strings.HasPrefix(which, tap+" ") {
			h.Preset[which] = true
		}
	}
}

func (h *handsReach) moved(span event.Span, b *Book) {
	h.Asked = nil
	if h.Still = 0; !h.Moved {
		h.Moved = true
		b.right(FamilyAnswers.ID("controls"), "channels move with the transmitter's controls", span, nil)
	}
}

func (h *handsReach) answered(d *event.DrillAnsweredData, span event.Span, b *Book) {
	if anyMoved(d, b.sheet.Heartbeat) {
		if !d.Suspect {
			h.moved(span, b)
		}
		return
	}
	plan, ask := b.drills.Asked(d.Prompt)
	if d.By != "builder" || ask.MovesNoChannel() {
		return
	}
	if control := controlOf(plan, ask, b.sheet); !slices.Contains(h.Asked, control) {
		h.Asked = append(h.Asked, control)
	}
	if h.Still++; h.Still >= handsLeastPrompts && len(h.Asked) >= handsControls && !h.Moved {
		b.wrong(FamilyAnswers.ID("controls"), fmt.Sprintf(reachedNoChannel, h.Still), span, nil)
	}
}

// anyMoved reports whether a channel but the heartbeat's moved.
func anyMoved(d *event.DrillAnsweredData, hb *sheet.Heartbeat) bool {
	return slices.ContainsFunc(d.Channels, func(m event.ChannelMove) bool {
		return far(m) >= moved && (hb == nil || hb.Channel != m.Channel)
	})
}

func (h *handsReach) forget(what string, _ unit.Time) {
	if what == TopicAll {
		*h = *newHandsReach()
	}
}
