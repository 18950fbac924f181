package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
)

// stated gives the keys of the sheet that state a claim, by their paths as sheet.Lines has
// them, the likeliest first: a sheet may write one thing in several ways. That of a claim which
// no line states is where what it is about begins.
type stated func(k key, s *sheet.Sheet) []string

// keys are those of all claims of a family. In a path # is the number of the channel or output
// that a claim judges, $1 the first part behind the family in its ID, $2 what stands behind that.
func keys(paths ...string) stated {
	return func(k key, _ *sheet.Sheet) (list []string) {
		fill := strings.NewReplacer("channels.#", fmt.Sprintf("channels.%d", k.channel), "outputs.#", fmt.Sprintf("outputs.%d", k.output),
			"$1", k.parts[0], "$2", strings.Join(k.parts[1:], "/"))
		for _, path := range paths {
			list = append(list, fill.Replace(path))
		}
		return list
	}
}

// travelKeys are an end of a stick or of the throttle, or what moves an output.
var travelKeys = keys("channels.#.ends.$2", "channels.#.$2", "outputs.#.moved_by")

// gainKeys are the turn of the knob, and what the law makes of it.
func gainKeys(k key, s *sheet.Sheet) []string {
	switch k.parts[0] {
	case "fold", "none":
		return []string{"gain.zero"}
	case "half", "full":
		return []string{"gain.full"}
	case "law":
		return []string{"stabiliser.measure"}
	}
	return keys("channels.#.ends")(k, s)
}

// wantedKeys are the positions at which a mode is wanted.
func wantedKeys(k key, s *sheet.Sheet) (list []string) {
	path := fmt.Sprintf("stabiliser.modes.%s.wanted_at", k.parts[0])
	for i := range s.Stabiliser.Modes {
		mode := &s.Stabiliser.Modes[i]
		at := slices.IndexFunc(mode.WantedAt, func(c sheet.Combination) bool { return positions(c) == k.parts[1] })
		if mode.Name == k.parts[0] && at >= 0 {
			list = append(list, fmt.Sprintf("%s.[%d]", path, at))
		}
	}
	return append(list, path)
}

// marginKeys are the margin that is wanted of all modes, or the positions themselves.
func marginKeys(k key, s *sheet.Sheet) []string {
	return append([]string{"stabiliser.margin"}, wantedKeys(k, s)...)
}

// passingKeys are the cells of a mode; the change touches what lies in none.
func passingKeys(k key, s *sheet.Sheet) []string {
	if k.parts[0] == "" {
		return []string{"stabiliser.modes"}
	}
	return keys("stabiliser.modes.$1.when")(k, s)
}

// edgeKeys are the cells of the modes beside an edge.
func edgeKeys(k key, s *sheet.Sheet) (list []string) {
	for _, e := range s.Edges() {
		if e.Channel == k.channel && e.Name == k.parts[1] {
			list = append(list, fmt.Sprintf("stabiliser.modes.%s.when", e.Above.Name), fmt.Sprintf("stabiliser.modes.%s.when", e.Below.Name))
		}
	}
	return list
}

// stickKeys are the outputs that correct an axis.
func stickKeys(k key, s *sheet.Sheet) (list []string) {
	for _, o := range s.Corrected(k.parts[0]) {
		list = append(list, fmt.Sprintf("outputs.%d.corrects", o.Number))
	}
	return list
}

// failsafeKeys are what is wanted without a signal.
func failsafeKeys(k key, s *sheet.Sheet) []string {
	switch {
	case k.output != 0:
		o, _ := s.Output(k.output)
		return s.LeadPresetPaths(o)
	case k.channel != 0:
		return []string{s.PresetPath(k.channel)}
	case k.parts[0] == "flag":
		return []string{"failsafe.flag"}
	case k.parts[0] == "time":
		return []string{"failsafe.within"}
	case k.parts[0] == "mode":
		want, _ := wantedMode(s)
		return []string{s.PresetPath(want.channels[0])}
	}
	return []string{"failsafe"}
}

// linkKeys are the share that may be missed, and what shows that values freeze.
func linkKeys(k key, _ *sheet.Sheet) []string {
	switch k.parts[0] {
	case "missed":
		return []string{"link.missed_at_most"}
	case "moving":
		return []string{"heartbeat", "link", "taps", "channels"}
	}
	return []string{"link", "taps", "channels"}
}

// soakKeys are the limits of a long run, and the supply that it stands on.
func soakKeys(k key, _ *sheet.Sheet) []string {
	switch k.parts[0] {
	case "outages":
		return []string{"soak.at_most_one_in"}
	case "missed":
		return []string{"soak.missed_at_most"}
	}
	return []string{"soak.receiver_supply", "soak", "outputs", "channels"}
}

// rightingKeys are the switch that overrides the mode, the modes, or its preset.
func rightingKeys(k key, s *sheet.Sheet) []string {
	list := []string{"stabiliser." + s.Righting().Key}
	switch k.parts[0] {
	case "over":
		return append([]string{list[0] + ".over"}, list...)
	case "failsafe":
		return append([]string{s.PresetPath(k.channel)}, list...)
	}
	return list
}

// levellingKeys are how level is learned, and how long the model lies still after power-up.
func levellingKeys(k key, _ *sheet.Sheet) []string {
	if k.parts[0] == "after-power-up" {
		return []string{"levelling.still_after_power_up", "levelling"}
	}
	return []string{"levelling.sides", "levelling"}
}
