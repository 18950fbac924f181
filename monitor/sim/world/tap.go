package world

// Kinds of tap.
const (
	Bus    = "bus"    // servo-bus characters
	Pulses = "pulses" // lines of a capture board
	Tilt   = "tilt"   // sentences of a phone on the model
)

// Tap is where a listener may listen.
type Tap struct {
	Name string
	Kind string // Bus, Pulses or Tilt
}

// Taps are the receivers, in the order of the plan, and after them the capture
// board and the phone; Delivery.Tap counts them from 0.
func (p *Plan) Taps() []Tap {
	taps := make([]Tap, 0, len(p.Receivers)+1)
	for i := range p.Receivers {
		taps = append(taps, Tap{p.Receivers[i].Name, Bus})
	}
	if p.Board != nil {
		taps = append(taps, Tap{p.Board.Name, Pulses})
	}
	if p.Phone != nil {
		taps = append(taps, Tap{p.Phone.Name, Tilt})
	}
	return taps
}

// TapNames are the names of Taps.
func (p *Plan) TapNames() []string {
	var names []string
	for _, t := range p.Taps() {
		names = append(names, t.Name)
	}
	return names
}
