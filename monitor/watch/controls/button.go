package controls

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Button is a spare switch on the transmitter that sets a mark. Four frames in a
// row press it and four let it go, and only a live transmitter does: what a
// receiver does in failsafe is nobody's mark.
//
//	pressed      +-----+
//	rest    -----+     +-----
//	             ^ mark
type Button struct {
	Tap     uint8
	Known   bool // where it stands has been seen
	Pressed bool
	Next    bool      // what the latest frames say,
	Run     int       // this many in a row
	Since   unit.Time // wire time of the first of them
	Last    unit.Time // and of the latest frame
}

// See implements Watcher.
func (b *Button) See(o *event.Observation, v *base.View, emit event.Emit) {
	t := &v.Taps[b.Tap]
	t.Pressed = false
	if base.TapClosed(o, b.Tap) {
		b.Known, b.Run = false, 0
		return
	}
	if !base.Judgeable(o, b.Tap) {
		return
	}
	if o.Wire.Sub(b.Last) > base.MaxFrameStep || base.SignalOf(o.Frame) != event.SignalLive || t.Suspect {
		b.Known, b.Run = false, 0
	}
	b.Last = o.Wire
	b.frame(o, v, emit)
}

func (b *Button) frame(o *event.Observation, v *base.View, emit event.Emit) {
	if pressed := b.pressed(o, v); b.Run == 0 || pressed != b.Next {
		b.Next, b.Run, b.Since = pressed, 0, o.Wire
	}
	if b.Run++; b.Run != base.MinFrames || b.Known && b.Next == b.Pressed {
		return
	}
	if b.Known && b.Next {
		v.Taps[b.Tap].Pressed = true
		c, _ := v.Sheet.Channel(v.Sheet.MarkButton.Channel)
		emit(event.Mark, b.Since, event.AboutSwitch.Called(c.Name), event.MarkData{Text: c.Name + " " + v.Sheet.MarkButton.Position})
	}
	b.Known, b.Pressed = true, b.Next
}

// pressed reports that the channel is nearer to the button's place than to any
// other.
func (b *Button) pressed(o *event.Observation, v *base.View) bool {
	c, ok := v.Sheet.Channel(v.Sheet.MarkButton.Channel)
	if !ok {
		return false
	}
	zones := Position{}
	return c.Places[zones.nearest(c, base.Width(v.Sheet, o.Frame, c.Number))].Name == v.Sheet.MarkButton.Position
}

// Rests implements base.Sleeper: where it stands is believed, since a frame before.
func (b *Button) Rests(_ base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if !b.Known || b.Run <= base.MinFrames {
		return 0, 0
	}
	return base.SetOf(v.Protocol, v.Sheet.MarkButton.Channel), unit.Never
}

// Pass implements base.Sleeper.
func (b *Button) Pass(n int, c base.Calm, _ *base.View) {
	b.Run += n
	b.Last = c.Wire(0)
}
