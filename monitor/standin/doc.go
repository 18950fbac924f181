// Package standin is the simulated bench: a transmitter with hands on it, the
// radio link, receivers, their servo buses, and the adapters that bring the
// buses to a computer. It knows what hangs on a wire and nothing of what
// listens there.
//
// A Sim is pure and seeded: the same script and seed give the same deliveries,
// nanosecond by nanosecond. Play paces a Sim in real time; PTYs give it
// pseudo-terminals to play on.
//
// # Scripts
//
// A script is a text of lines. A # starts a comment, blank lines are free.
// Settings come first, then steps. Times are written 300ms, 1.5s or 2m; widths
// are whole microseconds; shares carry their unit: 0.2%. Names are lower-case
// letters, digits and hyphens, and start with a letter. What stands in square
// brackets may be left out.
//
// Settings:
//
//	scale COUNT WIDTH COUNT WIDTH        two points of the line from counts to µs; before the channels
//	packets every TIME                   the pace of the radio link, 9ms unless told
//	channel NUMBER NAME WIDTH [stops LOW HIGH]
//	                                     1 to 16; where it stands at first, and where a
//	                                     stick's travel ends (988 and 2012 unless told)
//	place CHANNEL PLACE WIDTH            a named position; a channel with places is a switch,
//	                                     and its lever passes the places in the order given
//	heartbeat CHANNEL LOW HIGH every TIME  the transmitter itself puts a slow sawtooth there
//	receiver TAP preset|hold|silent OPTION...
//	    flags both|lost|failsafe|none    which of its two flags it ever sets (both)
//	    after TIME                       from the last packet to failsafe (900ms)
//	    period TIME                      from frame to frame (7ms)
//	    footer classic|slots             0x00, or 0x04 0x14 0x24 0x34 in turn (classic)
//	    regain TIME                      from the first packet back to the end of failsafe (0s)
//	    chatter NUMBER                   foreign bytes after about half of the frames (0)
//	preset TAP CHANNEL PLACE|WIDTH       where a preset receiver goes; other channels hold
//	link TAP loss SHARE burst NUMBER     mean share of packets missed, mean length of a run of them
//	wire TAP [missing SHARE] [damage SHARE] [noise NUMBER]
//	                                     frames never sent; characters hit; stray characters a second
//	adapter TAP clump TIME|none          hands over what came at each tick of its own timer, or soon (none)
//
// Steps, in order of time, the last one being end:
//
//	TIME signal on|off [TAP]             the transmitter; or what the one receiver can hear of it
//	TIME SWITCH PLACE                    a lever is moved
//	TIME stick CHANNEL WIDTH over TIME   a hand moves a stick or knob there
//	TIME stir CHANNEL... for TIME        a hand stirs the sticks, then lets them go back
//	TIME press SWITCH for TIME           a two-place switch, pressed and let go
//	TIME unplug TAP, TIME plug TAP       the adapter's plug
//	TIME end
//
// The signal is off and the adapters are plugged in until a step says otherwise.
package standin
