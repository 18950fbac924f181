package api

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// now is the present as the page shows it: less than /api/state, since it is sent many times a
// second.
type now struct {
	NowNS    unit.Time     `json:"now_ns"`
	SeenNS   unit.Time     `json:"seen_ns"`
	WallNS   int64         `json:"wall_ns"`
	Seq      int64         `json:"seq"`
	Drill    string        `json:"drill"`
	Prompt   *state.Prompt `json:"prompt,omitempty"` // how far that drill is
	Headline []state.Part  `json:"headline"`
	Taps     []nowTap      `json:"taps"`
	Troubles []trouble     `json:"troubles"` // what is unwell, as /healthz has it
}

type nowTap struct {
	Name      string          `json:"name"`
	Kind      string          `json:"kind"`
	Condition state.Condition `json:"condition"`
	Asked     bool            `json:"asked"`
	Mode      string          `json:"mode"`
	LastNS    unit.Time       `json:"last_ns"`
	Channels  []nowChannel    `json:"channels"`
	Outputs   []nowOutput     `json:"outputs"`
	Phone     *state.Phone    `json:"phone,omitempty"`
}

type nowChannel struct {
	Number  int        `json:"number"`
	Name    string     `json:"name"`
	Count   uint32     `json:"count"`
	WidthNS unit.Width `json:"width_ns"`
	Place   string     `json:"place"` // of the sheet that it is at, "" for none
}

type nowOutput struct {
	Number  int        `json:"number"`
	Surface string     `json:"surface"`
	WidthNS unit.Width `json:"width_ns"`
	Live    bool       `json:"live"`
}

// nowOf is the present by a picture of the session.
func (s *Server) nowOf(p *state.State) now {
	n := now{
		NowNS: p.NowNS, SeenNS: p.SeenNS, WallNS: p.WallNS, Seq: p.Seq, Drill: p.Drill, Prompt: p.Prompt,
		Headline: []state.Part{}, Taps: make([]nowTap, 0, len(p.Taps)), Troubles: troubles(p),
	}
	if s.opt.Headline != nil {
		n.Headline = list(s.opt.Headline(p))
	}
	for i := range p.Taps {
		n.Taps = append(n.Taps, nowTapOf(&p.Taps[i]))
	}
	return n
}

func nowTapOf(t *state.Tap) nowTap {
	n := nowTap{
		Name: t.Name, Kind: t.Kind, Condition: t.Condition(), Asked: t.ModeKnown, Mode: t.Mode, LastNS: t.LastNS,
		Channels: []nowChannel{}, Outputs: []nowOutput{}, Phone: t.Phone,
	}
	if n.Condition.HasValues() {
		for _, c := range t.Channels {
			n.Channels = append(n.Channels, nowChannel{c.Number, c.Name, c.Count, c.WidthNS, c.Place})
		}
	}
	if t.Board != nil {
		for _, o := range t.Board.Outputs {
			n.Outputs = append(n.Outputs, nowOutput{o.Number, o.Surface, o.WidthNS, o.Pulsing})
		}
	}
	return n
}
