package runner

import "benchproof.example/monitor/unit"

// Extreme is the least or the greatest width of a channel since a prompt, and how
// it was reached: of several visits to exactly that width the longest counts.
type Extreme struct {
	Width unit.Width    `json:"width"` // ns
	Flat  unit.Duration `json:"flat"`  // how long the channel stood there
	Fast  unit.Width    `json:"fast"`  // ns: how far it came just before

	Open  bool       `json:"open"`  // it stands there now,
	Since unit.Time  `json:"since"` // since then,
	Came  unit.Width `json:"came"`  // after having come this far just before
}

// see takes the next width. beyond: further out than any before.
func (e *Extreme) see(w unit.Width, wire unit.Time, fast unit.Width, beyond bool) {
	switch {
	case beyond:
		*e = Extreme{Width: w, Fast: fast, Open: true, Since: wire, Came: fast}
		return
	case w != e.Width:
		e.Open = false
		return
	case !e.Open:
		e.Open, e.Since, e.Came = true, wire, fast
	}
	if flat := wire.Sub(e.Since); flat > e.Flat {
		e.Flat, e.Fast = flat, e.Came
	}
}
