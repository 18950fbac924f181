package world

// wake has it begin anew, without a memory of what it heard.
func (r *receiver) wake(booted int64) {
	r.booted, r.linked, r.taught = booted, false, r.plan.TeachEvery.High == 0
	r.heard, r.heardAt, r.back, r.astray = r.bench.neutral(), longAgo, Never, longAgo
	r.failsafe, r.flagged = true, true
	r.given = presetRamp{from: r.heard, to: r.heard, starts: longAgo}
	if r.plan.Wakes == LossPreset {
		r.given.to = r.presets()
	}
}

// power gives it power, or takes it.
func (r *receiver) power(now int64, on bool) {
	if on == (r.booted < Never) {
		return
	}
	booted := int64(Never)
	if on {
		booted = now + bootFrom + r.fate.Int64N(bootTo-bootFrom)
	}
	r.wake(booted)
	r.lossRecorder.restart()
	r.truths.note(now, "power", r.plan.Name, onOff(on))
}

func (r *receiver) awake(now int64) bool { return now >= r.booted }
