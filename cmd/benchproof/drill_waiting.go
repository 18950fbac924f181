package main

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/unit"
)

// shows writes what the prompt that stands sees and waits for on a line below the keys, over what
// stood there, on a terminal. Where words are typed, the line is theirs.
func (e *drillDialogue) shows(now *client.Waiting) {
	p := e.plan.Prompt(now.ID)
	if e.asking != now.ID || !e.open || now.ID == "" || p.InWords() || p.Until.Hold || e.stopped {
		return
	}
	line := waitingLine(now)
	if line == "" {
		return
	}
	if !e.looked {
		fmt.Fprintln(e.talk)
	}
	e.looked = true
	columns, _ := sizeOf(e.talk)
	fmt.Fprintf(e.talk, "\r\x1b[K%s", clip("  "+line+": ", max(columns-4, 20)))
}

// waitingLine is what a prompt waits for on one line: what is lacking first, then what is as asked,
// then how long there is. "" where there is nothing to say.
func waitingLine(now *client.Waiting) string {
	var lacks, met []string
	for _, w := range now.Waits {
		if w.Met {
			met = append(met, w.Text)
		} else {
			lacks = append(lacks, w.Text)
		}
	}
	parts := append(lacks, met...)
	if now.LeftNS > 0 {
		left := fmt.Sprintf("%d:%02d left", now.LeftNS/unit.Minute, now.LeftNS%unit.Minute/unit.Second)
		if now.Warning != "" {
			left = strings.ToUpper(left)
		}
		parts = append([]string{left}, parts...)
	}
	return strings.Join(parts, "; ")
}
