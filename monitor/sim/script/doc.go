// Package script is the language in which a simulated bench and what happens at it are
// written down: it reads a text into a world.Plan, and refuses mistakes with their line and a
// sentence. It has the scripts of the demo and kinds of receiver.
//
// A harness that follows prompts drives the hands itself: it reads its bench with
// ParseDriven, or takes that of a script with Script.Bench; Drive sets it up, and
// Driver.Say puts a line at a moment. Script.With puts faults and habits into a script
// that has none.
//
// # Scripts
//
// A script is a text of lines. A # starts a comment, blank lines are free.
// Settings come first, then steps. Times are written 300ms, 1.5s or 2m; widths
// are whole microseconds; shares carry their unit: 0.2%. Names are lower-case
// letters, digits and hyphens, and start with a letter. What stands in square
// brackets may be left out. TIMES and WIDTHS are one of them, or a range such as
// 700ms..1.2s or 1030..1300, of which the seed picks one.
//
// Settings:
//
//	scale COUNT WIDTH COUNT WIDTH        two points of the line from counts to µs; before the channels
//	packets every TIME                   the pace of the radio link, 9ms unless given
//	channel NUMBER NAME WIDTH [stops LOW HIGH]
//	                                     1 to 18; where it stands at first, and where a
//	                                     stick's travel ends (988 and 2012 unless given). 17 and 18 are
//	                                     digital: on the bus they are one bit, set from 1024 counts on
//	place CHANNEL PLACE WIDTH            a named position; a channel with places is a switch,
//	                                     and its lever passes the places in the order given
//	heartbeat CHANNEL LOW HIGH every TIME  the transmitter itself puts a slow sawtooth there
//	receiver TAP preset|hold|silent OPTION...
//	    flags both|lost|failsafe|none    which of its two flags it ever sets (both)
//	    after TIMES                      from the last packet to failsafe (900ms)
//	    period TIME                      from frame to frame (7ms)
//	    footer classic|slots             0x00, or 0x04 0x14 0x24 0x34 in turn (classic)
//	    regain TIMES|never               from the first packet back to the end of failsafe (0s); never:
//	                                     a failsafe once there ends with the receiver's power only
//	    chatter NUMBER                   foreign bytes after about half of the frames (0)
//	    holds TIMES                      in failsafe, the last values stay that long before the presets
//	                                     come, or the silence (0s)
//	    ramp TIMES                       the presets are reached on a straight way of that long (0s)
//	    misses TIMES                     from the last packet to the frame-lost flag (as soon as one is missed)
//	    flagged TIMES                    from the last packet to the failsafe flag (as after)
//	    wakes presets|neutral|silent     before its first link (as in failsafe; neutral is all at 1500µs)
//	    always lost|failsafe|both|none   flags that it sets in every frame (none)
//	    early both|lost|failsafe|none    which flags it ever sets before its first link (as flags)
//	preset TAP CHANNEL PLACE|WIDTHS [mirrored]
//	                                     where a preset receiver goes; other channels hold. mirrored: at
//	                                     1500µs, since the channel was reversed after it was taken
//	teach TAP every TIMES                the transmitter sends that receiver its presets, first that long
//	                                     after it began to send, then at that pace; before, all hold
//	stabiliser TAP always|failsafe CHANNEL... within WIDTH
//	                                     is in front of the tap: it moves those channels smoothly, by that
//	                                     much at most, without end
//	warns CHANNEL...                     switched on while one of those is more than 12µs from where it
//	                                     stood at first, the transmitter sends nothing until all are there
//	second follows|holds|rests|moves [gap TIMES]
//	                                     a second transmitter, heard where the first one, having been on,
//	                                     sends nothing, that long after its last packet (0s). It sends what
//	                                     the hands do, a module linked still; or what was sent last; or
//	                                     values of its own, channels standing where they stood at first,
//	                                     or sticks stirred. With a gap it may as well be a second receiver
//	link TAP loss SHARE burst NUMBER     mean share of packets missed, mean length of a run of them
//	wire TAP [missing SHARE] [damage SHARE] [noise NUMBER]
//	                                     frames never sent; characters hit; stray characters a second
//	adapter TAP clump TIME|none          hands over what came at each tick of its own timer, or soon (none)
//	hands [steady] [varied]
//	    steady: sticks and tilts go exactly where they should, without tremor. Else a gimbal let go
//	    rests within 2µs of where it stood at first, a hand ends within 3µs of its aim,
//	    at a stop exactly. varied: from seed to seed other speeds (0.6 to 1.1 of each time
//	    given), dwells of levers (15ms to 200ms, else 30ms to 120ms), reactions (0s to 150ms
//	    after each step of the hands, in order) and rests of sticks at the start
//	gate round CHANNEL CHANNEL           the stick of these two goes no farther than a circle that touches
//	                                     their stops; else each goes to its own stops
//	phase SWITCH PLACE CHANNEL OFFSET [CHANNEL OFFSET]...
//	                                     a flight phase: with the lever there the transmitter adds that much,
//	                                     -1000 to 1000, to those channels, from the same packet on
//	tremble CHANNEL every TIMES          its count is off by one for 10ms to 60ms, so long after the last time
//	cutoff CHANNEL WIDTH                 a throttle cut: while on, the channel stands there
//
// Settings of servo leads, in this order:
//
//	board NAME of TAP [OPTION...]        a capture board on the leads of that receiver: one more tap, after
//	                                     the receivers, that carries the board's lines. adapter, unplug and
//	                                     plug take its name too; its power comes by the plug
//	    clock crystal|ceramic            its clock is off by up to 100 ppm, or 0.5 % (crystal)
//	    inputs NUMBER                    outputs that it listens to, from 1 (8)
//	    lost SHARE                       lines that never arrive (0%)
//	    wrong SHARE                      lines with a wrong character (0%)
//	phone NAME [OPTION...]               a phone that lies on the model, screen up, its top edge to the nose: one
//	                                     more tap, after the board, that carries its sentences
//	    askew DEGREES                    it lies turned to the left by so much (0)
//	    rate NUMBER                      attitudes a second (60)
//	    gyroscope none|one               whether it has one (one)
//	servos [OPTION...]                   how the receiver sends its pulses
//	    together                         all outputs rise at once; else one after the other
//	    delay TIMES                      from looking at what it heard to the pulse (3ms..8ms); on top of
//	                                     that a change waits for the output's next turn
//	    steps TIME                       a width is a whole number of them (500ns)
//	    jitter TIME                      how far a width strays, at most, before that (400ns)
//	axis roll CHANNEL left WIDTH         the stick of an axis, and where that end of it is
//	axis pitch CHANNEL back WIDTH
//	axis yaw CHANNEL right WIDTH
//	gyro off|rate|level|course when CHANNEL LOW HIGH [CHANNEL LOW HIGH]...
//	                                     what the receiver's stabiliser does while those channels stand in
//	                                     LOW to below HIGH; the first line that holds counts, off if none
//	gyro gain CHANNEL none WIDTH full WIDTH...
//	                                     its gain by a channel: none there, full at that width, or at one to
//	                                     either side
//	gyro gain SHARE                      its gain, fixed (100%)
//	gyro lies AXIS MILLIDEGREES          where its level is, counted from how the model stands
//	gyro dead MILLIDEGREES               of its dead band, to either side of its level
//	gyro creep NANOSECONDS               what a held course adds, for each second and degree off it
//	learns by CHANNEL [OPTION...]        the receiver learns how far its surfaces go: presses of that button begin it,
//	                                     surfaces go to and fro, sticks are brought to their ends, a press ends it.
//	                                     Broken off by its power, nothing of it is known
//	    presses NUMBER                   that begin it (2)
//	    holds TIME                       how long each is at least (50ms)
//	    sweep TIME                       how long surfaces go by themselves (3s)
//	    narrow NUMBER                    us to either side of neutral, until it has learned (150)
//	gyro keeps US                        how far beyond its windows a mode is kept that is asked for (0)
//	output NUMBER by CHANNEL SHARE [CHANNEL SHARE]... [OPTION...]
//	                                     a pulse of 1500µs and those shares of the channels' ways from 1500µs
//	    corrects AXIS...                 what the stabiliser moves the axis' stick by, goes through that mix
//	    neutral WIDTH                    instead of 1500µs
//	    limits LOW HIGH                  learned: it goes no further (950 2050)
//	    every TIME                       from pulse to pulse, from 3ms (20ms)
//	    loss follows|stops|holds         in failsafe: the receiver's values, or no pulses if those are silent; no
//	                                     pulses; the last width, without stabiliser (follows)
//
// Tilts are angles from level: roll above 0 is left wing up, pitch above 0 tail up,
// yaw above 0 nose left; below 0 the other way. The answers, as common practice has
// them: left wing up as by the stick left, tail up as by the stick back, nose left
// as by the rudder stick right, all the other way for the other way. In rate an answer
// goes with how fast the model turns, 2µs of stick for a degree a second at full
// gain, and so returns when it stands still; in level with how far roll and pitch are
// tilted, 5µs for a degree, and stays. Yaw knows a rate only.
//
// Faults are settings too, several allowed. The hands do what the steps say; a
// fault bends what is sent of it. They act in the order given, each on what those
// above left, after the throttle cut and before the link; what the scale can't
// carry is sent as its nearest end. Truth is about the hands, not about the bus.
//
//	fault lands SWITCH PLACE WIDTH       that place comes out elsewhere; so does a rest value
//	fault combo SWITCH PLACE SWITCH PLACE as SWITCH PLACE SWITCH PLACE
//	                                     with both levers there, both channels come out as at
//	                                     other places; the same switches in the same order
//	fault extra SWITCH PLACE WIDTH       the lever has one more place, between those whose widths
//	                                     enclose it or beyond the nearer end; a press passes it
//	fault slew CHANNEL TIME              goes no faster than from stop to stop in that time
//	fault lags CHANNEL TIME              follows late
//	fault range CHANNEL LOW HIGH         the travel from stop to stop comes out as LOW to HIGH:
//	                                     a knob without its curve
//	fault stuck CHANNEL WIDTH            stands there
//	fault offset CHANNEL WIDTH           is added, -1000 to 1000: a trim left in
//	fault clip CHANNEL LOW HIGH          goes no further
//	fault scale CHANNEL SHARE            that much of the travel about 1500µs, 0% to 200%
//	fault reverse CHANNEL                mirrored at 1500µs
//	fault swap CHANNEL CHANNEL           each comes out on the other one
//	fault mix FROM TO SHARE              that much of FROM's travel about 1500µs is added to TO,
//	                                     -200% to 200%
//	fault memory [CHANNEL WIDTH]...      another model's: channels stand there, others at 1500µs
//	fault cut ignored                    the throttle cut does nothing
//	fault spike CHANNEL WIDTH every TIME for N frames
//	                                     on every bus, first after that time; not in failsafe, nor
//	                                     on servo leads
//
// Faults of servo leads, below the outputs:
//
//	fault correction AXIS|all SHARE [at OUTPUT]
//	                                     that much of the right answer, -200% to 200%: -100% is reversed, 3%
//	                                     a limit learning that was not done, 0% a dead stabiliser
//	fault servo OUTPUT                   mirrored about its neutral, by stick and stabiliser
//	fault blend OUTPUT CHANNEL SHARE     that channel moves it by that share instead
//	fault limits OUTPUT LOW HIGH         the limits that were learned
//	fault shift OUTPUT off|rate|level US its neutral lies elsewhere in that mode
//	fault dead OUTPUT [WIDTH]            no pulses, or all of that width
//	fault loss OUTPUT follows|stops|holds  in failsafe
//	fault pause OUTPUT every TIME for TIME  falls silent, first after that time
//	fault gain AXIS WIDTH every TIME [above SHARE]
//	                                     swings by that much stick to either side, while the stabiliser
//	                                     answers and has more gain than none, or than that
//
// Steps, in order of time, the last one being end:
//
//	TIME signal on|off [TAP]             the transmitter; or what the one receiver can hear of it
//	TIME SWITCH PLACE                    a lever is moved
//	TIME stick CHANNEL WIDTH over TIME   a hand moves a stick or knob there
//	TIME stir CHANNEL... for TIME        a hand stirs the sticks, then lets them go back
//	TIME release CHANNEL...              sticks are let go and spring back to where they stood at first
//	TIME press SWITCH for TIME           a two-place switch, pressed and let go
//	TIME cut on|off                      the switch of the throttle cut
//	TIME slam CHANNEL WIDTH [CHANNEL WIDTH]... over TIME [for TIME]
//	                                     sticks are thrown there in just that time and stop at full speed, as
//	                                     on a gate, all in one packet; held for that long, then let go:
//	                                     each springs back within 60ms to 100ms. Else they stay
//	TIME circle CHANNEL CHANNEL [CHANNEL CHANNEL] every TIME for TIME
//	                                     a stick, or two at one rhythm, goes round on 60 % to 100 % of its
//	                                     travel, a turn in that time, then back to where it was
//	TIME pause CHANNEL... for TIME       hands that stir stop within 60ms to 150ms, and go on after that long
//	TIME rate CHANNEL... at SHARE        from here on so much of the channel's way from where it stood at
//	                                     first is sent, 10% to 100%: low rates
//	TIME trim CHANNEL WIDTH              its trim is put there, -300 to 300, and added to what is sent; 0 is
//	                                     its centre
//	TIME mute TAP for TIME               the receiver sends no frame for that long
//	TIME garble TAP NUMBER frames [flags both|lost|failsafe|none] [CHANNEL WIDTH]...
//	                                     that many of the next frames are wrong: well-formed, with those flags and
//	                                     values
//	TIME stall for TIME                  the computer reads no tap for that long; what came meanwhile is
//	                                     handed over at its end, in reads of 4096 bytes at most
//	TIME hiccup TAP for TIME             a preset receiver is at its presets for that long, without
//	                                     a flag; channels without a preset stand still
//	TIME power TAP on|off                the receiver's supply; with power back it starts anew after 50ms
//	                                     to 300ms, without a memory of what it heard or was taught
//	TIME unplug TAP, TIME plug TAP       the adapter's plug
//	TIME tilt AXIS DEGREES over TIME     hands tilt the model, -90 to 90; 0 puts it down. They miss by a degree
//	                                     at most, tremble, and turn the other axes by up to 15 % of it
//	TIME twist DEGREES over TIME         the phone is turned on its spot, to the left of where it lay at first
//	TIME restart BOARD                   the board begins anew, with its clock and numbers at 0
//	TIME end
//
// The signal is off, the throttle cut too, the receivers have power and the
// adapters are plugged in until a step says otherwise.
//
// Receivers lists kinds of receiver, each as the settings that make one.
package script
