package world

import "math/rand/v2"

// pose is an angle, millidegrees, and how fast it changes, millidegrees a second.
type pose struct{ angle, rate int64 }

func (p pose) plus(q pose) pose { return pose{p.angle + q.angle, p.rate + q.rate} }

// times is a share of it, per mille.
func (p pose) times(share int64) pose { return pose{p.angle * share / 1000, p.rate * share / 1000} }

// arc is a turn from one angle to another on a minimum-jerk course.
type arc struct {
	from, to     int64 // millidegrees
	began, takes int64 // ns
}

func (a *arc) ends() int64 { return a.began + a.takes }

func (a *arc) at(now int64) pose {
	if now >= a.ends() {
		return pose{angle: a.to}
	}
	since := now - a.began
	return pose{minimumJerk(a.from, a.to, since, a.takes), a.rate(part(since, a.takes))}
}

// rate is the slope of the course: 30s²(1-s)² of the way in its time.
func (a *arc) rate(s int64) int64 {
	bell := s * (whole - s)      // of whole² = 2²²
	share := bell * bell >> 24   // of 2²⁰
	way := (a.to - a.from) * 30  // below 2²³
	perTime := way * share >> 20 // millidegrees in the arc's time
	return perTime * billion / a.takes
}

const billion = 1_000_000_000

// sway is a small wandering of an angle without end.
type sway struct {
	rng            *rand.Rand
	within         int64 // millidegrees of 0
	least, longest int64 // ns that one leg takes
	leg            arc
}

// at is where it is. Times must not decrease from call to call.
func (s *sway) at(now int64) pose {
	for now >= s.leg.ends() {
		s.leg = arc{
			from: s.leg.to, to: s.rng.Int64N(2*s.within+1) - s.within,
			began: s.leg.ends(), takes: s.least + s.rng.Int64N(s.longest-s.least),
		}
	}
	return s.leg.at(now)
}
