package state

import "benchproof.example/monitor/unit"

// Account is what a long run amounts to. Terminal, HTTP, metrics and the command soak show
// it, and none of them has figures or sentences of its own.
type Account struct {
	SinceNS unit.Time `json:"since_ns"` // bench time at which the session began
	UntilNS unit.Time `json:"until_ns"` // and up to which this reaches

	// Nothing was listened to in these: they count neither for nor against anything.
	StoppedNS    unit.Duration `json:"stopped_ns"`    // the program did not run
	StalledNS    unit.Duration `json:"stalled_ns"`    // the computer stood still
	UnrecordedNS unit.Duration `json:"unrecorded_ns"` // it listened, and the recording lacks it
	Breaks       []SoakBreak   `json:"breaks"`        // the latest 20 of them, oldest first

	ClockSteps int64       `json:"clock_steps"` // how often the computer's clock was set
	Clock      []ClockStep `json:"clock"`       // the latest 20 of them, oldest first

	Conditions []SoakCondition `json:"conditions"` // as the sheet declares them, those that it leaves out too
	Taps       []TapAccount    `json:"taps"`       // of each bus, in the order of the taps; of the servo leads where no bus was listened to
	Rests      []Rest          `json:"rests"`      // widths that should stay: neutrals on the bus, outputs
	Dips       int64           `json:"dips"`       // silences of bus and leads in step
	Goal       *SoakGoal       `json:"goal,omitempty"`
	Proven     []string        `json:"proven"`     // sentences
	NotProven  []string        `json:"not_proven"` // sentences
}

// SoakCondition is one thing that is declared of a long run.
type SoakCondition struct {
	What string `json:"what"`
	Is   string `json:"is"` // "" where the sheet does not say
}

// LeadsFigures are what servo leads have beside what a bus has.
type LeadsFigures struct {
	Outputs []int `json:"outputs"` // that were heard
	Leaps   int64 `json:"leaps"`   // times that two or more left at once where they rested, or the only one
	// Silent are those that are silent, as far as somebody listens.
	Silent []int `json:"silent,omitempty"`
}

// TapAccount is the account of one bus, or of the servo leads in a session without one. The
// times in it add up to the time listened. Of leads an outage is a silence of outputs, live
// is time in which the board spoke and pulses came on all that had been heard, late counts
// trouble between board and computer, and what is counted in frames stays 0.
type TapAccount struct {
	Name  string        `json:"name"`
	Leads *LeadsFigures `json:"leads,omitempty"` // absent of a bus

	LiveNS      unit.Duration `json:"live_ns"`      // a live link, in frames that may be believed: all that counts for a bound
	OutageNS    unit.Duration `json:"outage_ns"`    // the receiver had no signal, or was silent
	WaitingNS   unit.Duration `json:"waiting_ns"`   // listened, and no link was known to live
	UnpluggedNS unit.Duration `json:"unplugged_ns"` // the port was not open
	PhoneNS     unit.Duration `json:"phone_ns"`     // a phone was at the model
	DrillNS     unit.Duration `json:"drill_ns"`     // a drill was under way
	DoubtedNS   unit.Duration `json:"doubted_ns"`   // a link, but many channels had leapt at once: presets perhaps, until a hand or a heartbeat shows

	Frames      int64                           `json:"frames"`          // of the live link, undamaged
	Missed      int64                           `json:"missed"`          // of these, missed on the air
	MissedRuns  int64                           `json:"missed_runs"`     // runs of such
	RunLengths  [len(MissedRunBounds) + 1]int64 `json:"run_lengths"`     // runs by their length in frames, see MissedRunBounds
	LongestRun  int64                           `json:"longest_run"`     // frames
	Share       *MissedShare                    `json:"share,omitempty"` // of missed frames; absent while too little was heard for it
	GapFrames   int64                           `json:"gap_frames"`      // that the bus left out
	DamageRuns  int64                           `json:"damage_runs"`     // runs of damage on the wire
	Spikes      int64                           `json:"spikes"`          // a channel left its value for a moment
	Silences    int64                           `json:"silences"`        // the bus fell silent, for however long
	Late        int64                           `json:"late"`            // frames were read late: a hiccup of adapter or computer
	Unplugs     int64                           `json:"unplugs"`         // the port went away
	Away        []PortAway                      `json:"away"`            // the latest 20 times that it did, oldest first
	Failsafes   int64                           `json:"failsafes"`       // the receiver set its failsafe flag
	Restarts    int64                           `json:"restarts"`        // outages that look like a receiver that began anew
	Outages     int64                           `json:"outages"`         // that were over, the signal was back
	Causes      [len(OutageCauses)]int64        `json:"causes"`          // outages by what showed them, see OutageCauses
	Occasions   int64                           `json:"occasions"`       // runs of outages, half an hour or more apart
	LongestNS   unit.Duration                   `json:"longest_ns"`      // outage
	Latest      []SoakOutage                    `json:"latest"`          // the latest outages, oldest first
	GoneSinceNS unit.Time                       `json:"gone_since_ns"`   // the outage that is not over began then; -1: there is none
	Heartbeat   bool                            `json:"heartbeat"`       // the sheet has one, so an unflagged hold would have shown

	OneInHours int64         `json:"one_in_hours"` // on average at most one occasion in so many hours, 95 % sure; 0: nothing to claim yet
	NextHours  int64         `json:"next_hours"`   // the next that is worth a claim; 0: there is none
	NextNS     unit.Duration `json:"next_ns"`      // until then, without a further occasion
	Ahead      []SoakClaim   `json:"ahead"`        // that one, and those behind it

	StripNS unit.Duration `json:"strip_ns"` // how long each of these is
	Strip   []SoakHour    `json:"strip"`    // from the beginning of the session
	Worst   int           `json:"worst"`    // the worst of them, -1: nothing happened in any

	WorstHour *SoakMinutes `json:"worst_hour,omitempty"` // minute by minute; absent where nothing happened in any
}

// MissedRunBounds are the upper bounds, inclusive, of the lengths of runs of missed frames.
var MissedRunBounds = [...]int64{1, 2, 3, 5, 10, 20, 50}

// OutageCauses are what shows an outage, in the order of TapAccount.Causes.
var OutageCauses = [...]string{"flagged", "unflagged", "silent", "restart"}

// MissedShare is a share of missed frames with its doubt, parts per million.
type MissedShare struct {
	PPM  int64 `json:"ppm"`
	Low  int64 `json:"low_ppm"`
	High int64 `json:"high_ppm"`
}

// SoakOutage is one outage.
type SoakOutage struct {
	FromNS unit.Time `json:"from_ns"`
	ToNS   unit.Time `json:"to_ns"`            // what was watched of it
	Cause  string    `json:"cause"`            // one of OutageCauses
	Unseen bool      `json:"unseen,omitempty"` // its end was not watched: it may have been longer
	// Outputs are those that fell silent in a silence of servo leads.
	Outputs []int `json:"outputs,omitempty"`
}

// SoakClaim is a claim that a run may go on to bear out.
type SoakClaim struct {
	Hours       int64         `json:"hours"`        // on average at most one occasion in so many
	RemainingNS unit.Duration `json:"remaining_ns"` // live time until then, without a further occasion
}

// SoakBreak is a time in which nobody listened.
type SoakBreak struct {
	FromNS unit.Time `json:"from_ns"`
	ToNS   unit.Time `json:"to_ns"`
	Why    string    `json:"why"` // one of BreakReasons
}

// BreakReasons are why nobody listened: the program did not run, the computer stood still, or the recording
// lacks it.
var BreakReasons = [...]string{"stopped", "stalled", "unrecorded"}

// PortAway is a time in which the port of a tap was gone.
type PortAway struct {
	FromNS unit.Time `json:"from_ns"`
	BackNS unit.Time `json:"back_ns"` // -1: it is not back
}

// ClockStep is a time at which the computer's clock was set.
type ClockStep struct {
	AtNS   unit.Time     `json:"at_ns"`
	StepNS unit.Duration `json:"step_ns"` // forward is positive
}

// SoakHour is one piece of the strip of the days.
type SoakHour struct {
	LiveNS    unit.Duration `json:"live_ns,omitempty"`
	Frames    int64         `json:"frames,omitempty"`
	Missed    int64         `json:"missed,omitempty"`
	Outages   int64         `json:"outages,omitempty"`
	Failsafes int64         `json:"failsafes,omitempty"`
	Restarts  int64         `json:"restarts,omitempty"`
	Silences  int64         `json:"silences,omitempty"`
}

// SoakMinutes is one hour of a run, minute by minute.
type SoakMinutes struct {
	FromNS  unit.Time  `json:"from_ns"` // bench time at which it began
	Minutes []SoakHour `json:"minutes"` // up to 60; those at its end that were not watched are left out
}

// Rest is a width that should stay where it is, over the minutes in which it rested.
type Rest struct {
	Of       string        `json:"of"`       // "channel" or "output"
	Number   int           `json:"number"`   // from 1
	Name     string        `json:"name"`     // in the sheet, "" where it has none
	MeanNS   unit.Width    `json:"mean_ns"`  // over all that rested
	LeastNS  unit.Width    `json:"least_ns"` // the least and the most of the means of single slots
	MostNS   unit.Width    `json:"most_ns"`
	JitterNS unit.Width    `json:"jitter_ns"`       // of single widths while it rested, a standard deviation
	RestedNS unit.Duration `json:"rested_ns"`       // for how long it rested
	MovedNS  unit.Duration `json:"moved_ns"`        // heard live, and it did not rest
	Drift    *Drift        `json:"drift,omitempty"` // absent: no claim, Why says why
	Why      string        `json:"why"`
}

// Drift is a slope with its doubt (95 %), ns of width an hour.
type Drift struct {
	PerHourNS unit.Width `json:"per_hour_ns"`
	WithinNS  unit.Width `json:"within_ns"`
}

// SoakGoal is a goal that was declared before the run: so long without an outage.
type SoakGoal struct {
	QuietNS   unit.Duration `json:"quiet_ns"`
	SoFarNS   unit.Duration `json:"so_far_ns"`  // of the stretch under way; reached: all of it
	Failed    int64         `json:"failed"`     // stretches that an outage ended before
	ReachedNS unit.Time     `json:"reached_ns"` // -1: not yet
	Hours     int64         `json:"hours"`      // reached: on average at most one occasion in so many, 95 % sure
}
