package world

import (
	"fmt"
	"time"
)

// Do puts a step at a moment, ns since the start, after those that stand there
// already: a line of a script without its time, such as "stick aileron 988 over
// 500ms". So a harness can follow prompts. The moment must not lie before what
// was simulated, see Now. With varied hands the step comes
// as late after it as such hands react. An "end" ends the script there.
//
// The error says that the moment is past, or after the end; or it wraps a
// *Mistake whose Line counts the calls. After an error nothing has changed.
func (s *Sim) Do(at int64, line string) error {
	s.lines++
	switch when := time.Duration(at); {
	case at < s.now:
		return fmt.Errorf("do %q at %v: all before %v is simulated, want a time from there on", line, when, time.Duration(s.now))
	case at > s.script.length:
		return fmt.Errorf("do %q at %v: the script ends at %v, want a time up to there", line, when, time.Duration(s.script.length))
	case when > longest:
		return fmt.Errorf("do %q at %v: want a time up to %v", line, when, longest)
	}
	p := &parser{line: lineOf("driven", s.lines, line), script: &s.script}
	do := p.action()
	p.done()
	if p.mistake != nil {
		return fmt.Errorf("do %q at %v: %w", line, time.Duration(at), p.mistake)
	}
	if p.ended {
		s.script.length = at
		return nil
	}
	s.director.add(step{at: at, do: do})
	return nil
}
