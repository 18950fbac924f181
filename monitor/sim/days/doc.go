// Package days plays bad days: a whole session at a simulated bench, with its recorder, its
// judge, its journal and who asks it over HTTP, on a disk, at ports and by a clock that are
// simulated too, and with all that can go wrong with them. A day follows from its seed, to the
// last call to the disk, and what must hold however bad it was is checked behind each of its
// lives. It is for tests alone.
//
// Story    what a seed means: bench, hands, and what happens when; it can be told shorter
// day      plays a story, life by life
// life     one run of the daemon: its parts are routines, of which one at a time runs
// check    what must hold behind a life
package days
