package recheck

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/text"
)

// lineWidth is how wide the lines are on a terminal.
const lineWidth = 80

// Cautions stand above every re-check.
var Cautions = []string{
	"At home, the propeller off AND the drive unable to run: motor leads off, or the receiver on a supply of its own with the speed controller's whole " +
		"plug out; a piston engine stopped, its ignition off. Hands clear of surfaces.",
	"It shows that what was right is right still, on a bench. It is no clearance to fly. The receiver's manual, the rules of the site and the law come first.",
}

// Lines are the re-check for a terminal.
func (p *Plan) Lines() (list []string) {
	for _, c := range Cautions {
		list = append(list, wrapped(c, "")...)
	}
	if len(p.Wrong) > 0 {
		list = append(list, "", "Seen wrong last, to be mended before anything else counts:")
		for _, w := range p.Wrong {
			list = append(list, item("  ! ", w)...)
		}
	}
	list = append(list, "")
	if len(p.Prompts) == 0 && len(p.Apart) == 0 {
		return append(list, "Nothing else is to be shown again: all that a prompt can show was seen on this day.")
	}
	for i, one := range p.Prompts {
		list = append(list, item(fmt.Sprintf("  %d ", i+1), one.says())...)
	}
	for _, one := range p.Apart {
		list = append(list, item("  + ", "apart, since it takes its time: "+one.says())...)
	}
	if p.Later > 0 {
		list = append(list, wrapped(fmt.Sprintf("%s more, less urgent, for another day.", text.Count(p.Later)), "  ")...)
	}
	return append(list, wrapped("Listen with watch, do these, and ask again: what was seen meanwhile is not asked for twice.", "  ")...)
}

// says is what to do, by which drill, and why.
func (p *Prompt) says() string {
	s := p.Do
	if p.Drill != "" && !strings.HasPrefix(s, "drill ") {
		s = "drill " + p.Drill + ": " + s
	}
	if p.Drill == drill.Failsafe {
		s += " (two minutes of waiting are in it)"
	}
	return s + "; " + p.why()
}

func (p *Prompt) why() string {
	switch {
	case p.Stale:
		return "stale: something was changed since"
	case p.SeenOn.IsZero():
		return "never seen right"
	}
	return "seen right last on " + p.SeenOn.UTC().Format(time.DateOnly)
}

func item(head, line string) []string {
	list := wrapped(line, "    ")
	list[0] = head + strings.TrimLeft(list[0], " ")
	return list
}

func wrapped(line, indent string) []string {
	return strings.Split(text.Wrap(line, lineWidth, indent), "\n")
}
