package linefault

import (
	"fmt"
	"strings"

	"benchproof.example/decode/uart"
)

// guesses is how sure a finding is, of a hundred, that is said to be likely.
const guesses = 60

// nearby is how sure a cause is, of a hundred, that is named as the nearest where none fits.
const nearby = 10

// closeBy is how sure the next likely cause is, of a hundred, that is named too.
const closeBy = 15

// Guessed reports a finding that is not said to be likely.
func (f Finding) Guessed() bool { return f.Sure < guesses || f.Cause == None }

// Healthy reports a bus that can be read, be it handed over late.
func (f Finding) Healthy() bool { return f.Cause == Healthy || f.Cause == Clumps }

// Sentence says what was found, and how sure that is, where it is weighed.
func (f Finding) Sentence() string {
	switch f.Cause {
	case None:
		text := "what arrives fits none of the causes that are known"
		if f.OrSure >= nearby {
			text += fmt.Sprintf("; the nearest (%d %%): %s", f.OrSure, Finding{Cause: f.Or, Detail: "-"}.clause())
		}
		return text
	case Nothing:
		return "nothing arrives at all"
	case Healthy:
		return "this is a healthy bus"
	}
	text := "most likely"
	if f.Sure < guesses {
		text = "perhaps"
	}
	text += fmt.Sprintf(" (%d %%) %s", f.Sure, f.clause())
	if f.OrSure >= closeBy && f.Or != None && f.Or != Healthy {
		text += fmt.Sprintf("; or else (%d %%) %s", f.OrSure, Finding{Cause: f.Or, Detail: "-"}.clause())
	}
	return text
}

// HowSure says what the percent of a finding mean, "" where nothing was weighed.
func (f Finding) HowSure() string {
	switch {
	case f.Cause == None || f.Cause == Nothing || f.Cause == Healthy:
		return ""
	case f.Sure < guesses:
		return fmt.Sprintf("less than %d %% is a guess: it can come out otherwise the next time, so change no wire because of it alone", guesses)
	}
	return fmt.Sprintf("what was said with %d %% or more was right in 98 of 100 lines that this was tried on", guesses)
}

// clauses are the causes as parts of a sentence.
var clauses = [Causes]string{
	None:     "the cause is none of those that are known",
	Nothing:  "nothing arrives at all",
	Healthy:  "the bus is healthy",
	Inverted: "the signal is inverted at the port: the inverter is missing, or there is one too many",
	Parity:   "the port is set to another parity than the bus has",
	Rate:     "the port reads at another rate than the bus is sent at",
	Stream:   "another serial stream is on this wire, not the bus",
	Pulses:   "servo pulses are on this wire: it is a servo output, not the bus",
	Noise:    "the signal wire is not connected, and picks up noise",
	Mains:    "the ground is not connected, and the signal wire picks up hum of the mains, 50 or 60 Hz",
	Clumps:   "the bus is healthy, but this computer gets it late and in batches",
	Driver:   "the port loses characters before they are read",
}

// clause is the cause as part of a sentence.
func (f Finding) clause() string {
	if f.Cause == Rate {
		return f.rateClause()
	}
	return clauses[f.Cause]
}

func (f Finding) rateClause() string {
	if rate, ok := strings.CutPrefix(f.Detail, "port "); ok {
		return "the port reads at about " + rate + ", which is not how the bus is sent"
	}
	if rate, ok := strings.CutPrefix(f.Detail, "line "); ok {
		return "the bus is sent at about " + rate + " baud, which is not how the port reads"
	}
	return clauses[Rate]
}

// remedies are what to change; %v stands for how the bus is sent, and how we set a port.
var remedies = [Causes]string{
	None: "check the wiring step by step (benchproof guide wiring); a capture of the line by a logic analyser shows more",
	Nothing: "see that the receiver is on and its bus output chosen, that its ground goes to the adapter's GND, " +
		"and its signal to the adapter's RX, which is not TX",
	Inverted: "put one inverter, a logic gate that runs on the adapter's 3.3 V, between the receiver's signal and the adapter's RX, " +
		"or switch on the adapter's own; where there are two, take one out",
	Parity: "the port was set to %v: either this adapter can't do that, then take another one, or another kind of bus is chosen " +
		"for this output in the receiver's set-up, then choose the usual servo bus",
	Rate: "the port was set to %v: this adapter can't do that rate, take another one that can",
	Stream: "choose the servo bus for this output in the receiver's set-up, or plug the wire into the output that has it: " +
		"telemetry and other buses look like this",
	Pulses: "plug the wire into the receiver's output that has the servo bus, or choose the bus for this output in the receiver's set-up",
	Noise: "see that the receiver is on, that its plug is the right way round, and that the signal wire has contact from the " +
		"receiver to the adapter's RX",
	Mains: "join a wire from the receiver's ground, the minus pin, to the adapter's GND; ground and signal only, never the supplies",
	Clumps: "plug the adapter into the computer itself, without a hub, and end what keeps the computer busy; elsewhere than on " +
		"Linux, set the waiting time of the adapter's driver to 1 ms",
	Driver: "plug the adapter into the computer itself, without a hub, and end what keeps the computer busy; if it goes on, take another adapter",
}

// TryFirst is what to do before anything else where a finding is a guess.
const TryFirst = "benchproof explain PORT --try, while no session listens to the port: it sets the port in other ways, " +
	"and then knows whether it is a rate or a parity"

// Advice is what to do, "" for nothing: of a guess, first what makes it surer.
func (f Finding) Advice(line uart.Format) string {
	if f.Guessed() && !f.Healthy() {
		return "first " + TryFirst + ". If that reads no bus: " + f.Remedy(line)
	}
	return f.Remedy(line)
}

// Remedy says what to change, "" where nothing needs to be; line is how the protocol is sent.
func (f Finding) Remedy(line uart.Format) string {
	line.Inverted = false
	text := remedies[f.Cause]
	if f.Cause == Rate && strings.HasPrefix(f.Detail, "line ") {
		text = "choose the usual servo bus for this output in the receiver's set-up: it is sent at %v"
	}
	return strings.ReplaceAll(text, "%v", line.String())
}

// Evidence says in words what was heard in a time, ns: what a finding rests on.
func (h *Heard) Evidence(span int64) (list []string) {
	if h.Chars == 0 {
		return []string{fmt.Sprintf("no character in %s s", tenths(span, 1_000_000_000))}
	}
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	say("%d characters in %s s", h.Chars, tenths(span, 1_000_000_000))
	if h.Marked > 0 {
		say("%s of them marked as bad", hundredths(h.Marked, h.Chars))
	} else {
		say("none of them marked as bad (not every port marks bad ones)")
	}
	if n := h.between(); n > 1 {
		say("in bursts of about %s, one every %s ms", tenths(h.Chars, h.Bursts), tenths(h.GapSum, n*1_000_000))
	}
	if lag, alike := h.repeats(); 3*alike > h.Chars {
		say("%s of them come again %d characters later", hundredths(alike, h.Chars), lag)
	}
	if zeros := h.count(0); 5*zeros > h.Chars {
		say("%s are 0x00 (many ports hand that over for a bad one)", hundredths(zeros, h.Chars))
	}
	if h.Framed > 0 {
		say("%s are part of frames", hundredths(h.Framed, h.Chars))
	}
	if h.Lost > 0 {
		say("the port says that it lost %d", h.Lost)
	}
	return list
}

// tenths is a quotient, rounded to a tenth.
func tenths(a, b int64) string {
	n := (10*a + b/2) / max(b, 1)
	return fmt.Sprintf("%d.%d", n/10, n%10)
}

// hundredths is a share of all, such as "68 %".
func hundredths(part, all int64) string { return fmt.Sprintf("%d %%", (100*part+all/2)/max(all, 1)) }
