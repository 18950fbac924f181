package world

// presets are the values heard last, but for the channels that have a preset.
func (r *receiver) presets() values {
	counts := r.heard
	if r.taught {
		for number, count := range r.timing.presets {
			counts[number] = count
		}
	}
	return counts
}

// learn takes the presets that came with a packet.
func (r *receiver) learn(now int64) {
	if !r.taught {
		r.taught = true
		r.truths.note(now, "presets", r.plan.Name, "taught")
	}
}

// presetRamp is the way from the values that were heard last to those of failsafe.
type presetRamp struct {
	from, to      values
	starts, takes int64 // ns: when the values leave, how long they are under way
	presets       bool  // they go to presets
}

// at are the values at a moment.
func (r *presetRamp) at(now int64) values {
	switch {
	case now < r.starts:
		return r.from
	case r.arrived(now):
		return r.to
	}
	way := r.from
	for i := range way {
		off := int64(r.to[i]) - int64(r.from[i])
		way[i] = uint32(int64(r.from[i]) + off*((now-r.starts)/us)/(r.takes/us))
	}
	return way
}

func (r *presetRamp) arrived(now int64) bool { return now >= r.starts+r.takes }
