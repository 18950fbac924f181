package world

// hiccup has it take up its presets for a while, and say nothing of it.
func (r *receiver) hiccup(now, lasts int64) {
	r.astray = now + lasts
	if !r.failsafe {
		r.given = presetRamp{from: r.heard, to: r.presets(), starts: now}
	}
	r.truths.note(now, "hiccup", r.plan.Name, "began")
	r.truths.note(r.astray, "hiccup", r.plan.Name, "ended")
}

// mute has it send nothing for a while.
func (r *receiver) mute(now, lasts int64) { r.muted = max(r.muted, now+lasts) }
