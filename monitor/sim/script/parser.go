package script

import (
	"bytes"
	"strconv"
	"strings"
	"time"

	"benchproof.example/monitor/sim/world"
)

const (
	us      = int64(time.Microsecond)
	million = 1_000_000 // 1 in shares of parts per million
)

// Where sticks end unless the script says otherwise: ±100 % (common practice).
const lowStop, highStop = 988 * us, 2012 * us

// Parse reads a script. name stands in messages. The error is a *Mistake.
func Parse(name string, text []byte) (*Script, error) { return parseText(name, text, false) }

// ParseDriven reads a script that may lack its end, or its steps altogether,
// since a harness drives it on with Driver.Say. Without an end it lasts for ever.
// The error is a *Mistake.
func ParseDriven(name string, text []byte) (*Script, error) { return parseText(name, text, true) }

func parseText(name string, text []byte, driven bool) (*Script, error) {
	p := &parser{script: &Script{Plan: world.NewPlan(), name: name, text: bytes.Clone(text), driven: driven}}
	lines := strings.Split(string(text), "\n")
	for i, text := range lines {
		p.line = lineOf(name, i+1, text)
		if p.more() {
			p.statement()
		}
		if p.mistake != nil {
			return nil, p.mistake
		}
	}
	switch {
	case p.ended:
	case !driven:
		p.refuse("the end of the file", `a last step such as "30s end"`)
	case p.script.firstStep == 0:
		p.checkBench("the end of the file")
	}
	if p.mistake != nil {
		return nil, p.mistake
	}
	return p.script, nil
}

// parser holds the line at hand and the script so far.
type parser struct {
	*line
	script *Script
	ended  bool

	// The lines of what was declared, like Plan.Channels and Plan.Outputs; 0: no board.
	channelLines, outputLines []int
	boardLine                 int
}

// setting is one kind of line that describes the bench.
type setting struct {
	word string
	read func(*parser)
}

// verb is one kind of step.
type verb struct {
	word string
	read func(*parser) world.Action
}

func settings() []setting {
	return []setting{
		{"scale", (*parser).scale}, {"packets", (*parser).packets}, {"channel", (*parser).channel},
		{"place", (*parser).place}, {"heartbeat", (*parser).heartbeat}, {"receiver", (*parser).receiver},
		{"preset", (*parser).preset}, {"link", (*parser).link}, {"wire", (*parser).wire}, {"adapter", (*parser).adapter},
		{"hands", (*parser).hands}, {"cutoff", (*parser).cutoff}, {"fault", (*parser).fault},
		{"teach", (*parser).teach}, {"stabiliser", (*parser).stabiliser}, {"warns", (*parser).warns}, {"second", (*parser).second},
		{"gate", (*parser).gate}, {"phase", (*parser).phase}, {"tremble", (*parser).tremble},
		{"board", (*parser).board}, {"phone", (*parser).phone}, {"servos", (*parser).servos}, {"axis", (*parser).axisStick},
		{"gyro", (*parser).gyro}, {"learns", (*parser).learns}, {"output", (*parser).output},
	}
}

func verbs() []verb {
	return []verb{
		{"signal", (*parser).signal}, {"stick", (*parser).stick}, {"stir", (*parser).wiggle},
		{"press", (*parser).press}, {"unplug", (*parser).unplug}, {"plug", (*parser).plug}, {"end", (*parser).end},
		{"release", (*parser).release}, {"cut", (*parser).cut}, {"hiccup", (*parser).hiccup},
		{"power", (*parser).supply}, {"tilt", (*parser).tilt}, {"twist", (*parser).twist}, {"restart", (*parser).restart},
		{"slam", (*parser).slam}, {"circle", (*parser).circle}, {"pause", (*parser).pause}, {"rate", (*parser).rate}, {"trim", (*parser).trim},
		{"mute", (*parser).mute}, {"stall", (*parser).stall}, {"garble", (*parser).garble},
	}
}

func (p *parser) statement() {
	switch first := p.words[0]; {
	case p.ended:
		p.refuse(strconv.Quote(first), "nothing after the end step")
	case first[0] >= '0' && first[0] <= '9':
		p.step()
	case p.script.firstStep > 0:
		p.refuse(strconv.Quote(first), "a step that starts with its time; settings come before the first step")
	default:
		p.setting()
	}
	p.done()
}

func (p *parser) setting() {
	words := []string{}
	for _, s := range settings() {
		if s.word == p.words[0] {
			p.word("")
			s.read(p)
			return
		}
		words = append(words, s.word)
	}
	p.refuse(strconv.Quote(p.words[0]), "a time, or "+oneOf(words))
}

func (p *parser) step() {
	if p.script.firstStep == 0 {
		p.script.firstStep = p.number
		p.checkBench("a step")
	}
	at := p.span("the time of the step", 0, world.Latest)
	if n := len(p.script.Steps); n > 0 && at < p.script.Steps[n-1].At {
		p.refuse(time.Duration(at).String(), "a time not before that of the last step, "+time.Duration(p.script.Steps[n-1].At).String())
	}
	if do := p.action(); do != nil {
		p.script.Steps = append(p.script.Steps, world.Step{At: at, Do: do})
	}
	if p.ended {
		p.script.Length = at
	}
}

func (p *parser) action() world.Action {
	words := []string{"a switch"}
	w := p.word("what happens")
	for _, v := range verbs() {
		if v.word == w {
			return v.read(p)
		}
		words = append(words, v.word)
	}
	if c := p.script.channelNamed(w); c >= 0 && len(p.script.Channels[c].Places) > 0 {
		return world.SetLever{Channel: c, Place: p.placeOf(c)}
	}
	p.refuse(strconv.Quote(w), oneOf(words))
	return nil
}

// checkBench wants a bench that can be played, before what was found.
func (p *parser) checkBench(found string) {
	if len(p.script.Receivers) == 0 {
		p.refuse(found, `a receiver first, such as "receiver main preset"`)
	}
	for i := range p.script.Channels {
		c := &p.script.Channels[i]
		if len(c.Places) > 0 && c.PlaceAt(c.Start) < 0 {
			p.number = p.channelLines[i]
			p.refuse(c.Name+" starting at "+strconv.FormatInt(c.Start/us, 10)+" us", "the width of one of its places")
		}
		if len(c.Places) == 1 {
			p.number = p.channelLines[i]
			p.refuse(c.Name+" with one place", "at least two places, or none")
		}
	}
}

func (s *Script) channelNamed(name string) int {
	for i := range s.Channels {
		if s.Channels[i].Name == name {
			return i
		}
	}
	return -1
}
