package linefault

// vote keeps what the stretches of a line show, one result for each cause.
type vote struct {
	results []*result
}

// result is what stretches show that agree.
type result struct {
	finding Finding // of the first of them
	times   int
	sure    int         // the sum of theirs
	or      [Causes]int // the sums of how sure they are of another cause, where it was the next likely
	heard   Heard       // in all of them
	span    int64       // of all of them, ns
}

// add counts a stretch, and gives the result that it belongs to.
func (v *vote) add(f Finding) *result {
	r := v.of(f)
	r.times++
	r.sure += f.Sure
	r.or[f.Or] += f.OrSure
	return r
}

func (v *vote) of(f Finding) *result {
	for _, r := range v.results {
		if r.finding.Cause == f.Cause && r.finding.Detail == f.Detail {
			return r
		}
	}
	r := &result{finding: f}
	v.results = append(v.results, r)
	return r
}

// winner is what most stretches show. That nothing came is less than all that did for as long,
// whatever it was each time.
func (v *vote) winner() (best *result) {
	came := 0
	for _, r := range v.results {
		if r.finding.Cause != Nothing {
			came += r.times
		}
	}
	for _, r := range v.results {
		if r.finding.Cause == Nothing && came >= r.times {
			continue
		}
		if best == nil || r.times > best.times {
			best = r
		}
	}
	return best
}

// mean is the finding, as sure as the stretches are on average.
func (r *result) mean() Finding {
	f := r.finding
	f.Sure, f.Or, f.OrSure = r.sure/r.times, None, 0
	for c := range Causes {
		if sure := r.or[c] / r.times; sure > f.OrSure {
			f.Or, f.OrSure = c, sure
		}
	}
	return f
}
