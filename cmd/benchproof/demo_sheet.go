package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

//go:embed airframes/*.yaml
var airframes embed.FS

// demoSheet is the starter sheet with the taps of a script, with the outputs of the
// airframe that the script is named after, if it is, and with a heartbeat only where the
// script's transmitter sends one.
func demoSheet(name string, scripted *script.Script) ([]byte, error) {
	var section strings.Builder
	section.WriteString("taps:\n")
	for _, t := range scripted.Taps() {
		if t.Kind == world.Pulses {
			fmt.Fprintf(&section, "  %s: {kind: pulses}\n", t.Name)
			continue
		}
		fmt.Fprintf(&section, "  %s: {kind: bus, carries: heard}\n", t.Name)
	}
	text, err := exchange(sheet.Starter(), "taps", section.String())
	if err != nil {
		return nil, err
	}
	beats := slices.ContainsFunc(scripted.Channels, func(c world.ChannelPlan) bool { return c.Heartbeat != nil })
	if !beats {
		if text, err = exchange(text, "heartbeat", "# heartbeat: this model's transmitter sends none"); err != nil {
			return nil, err
		}
	}
	airframe := strings.TrimSuffix(filepath.Base(name), ".script")
	outputs, err := airframes.ReadFile("airframes/" + airframe + ".yaml")
	if err != nil {
		return text, nil // the starter's own
	}
	return exchange(text, "outputs", string(outputs))
}

// exchange puts another section in the place of one, which ends with a blank line.
func exchange(text []byte, section, with string) ([]byte, error) {
	before, rest, found := bytes.Cut(text, []byte("\n"+section+":\n"))
	_, after, ended := bytes.Cut(rest, []byte("\n\n"))
	if !found || !ended {
		return nil, errors.New("the starter sheet has no section " + section)
	}
	return bytes.Join([][]byte{before, []byte("\n" + with + "\n"), after}, nil), nil
}
