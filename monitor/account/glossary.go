package account

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
)

// Word is a word of an account and what it means.
type Word struct{ Word, Means string }

// Words explain an account to somebody who reads one for the first time.
func Words(a *state.Account) []Word {
	names := []string{}
	for i := range a.Taps {
		names = append(names, a.Taps[i].Name)
	}
	is := "the bus that was listened to, by its name in the sheet"
	if len(names) > 1 {
		is = "the buses that were listened to, by their names in the sheet"
	}
	return append([]Word{{text.And(names), is}},
		Word{"live link", "whole frames came, and in them the receiver said that it hears the transmitter. Only this time proves anything"},
		Word{"outage", "the receiver had no signal, or sent nothing for a second or more"},
		Word{"occasion", "outages less than half an hour apart are one occasion, since one cause often makes several"},
		Word{"once in 7 h on average, 95 % sure", "no promise of 7 h without one; but of twenty such statements nineteen are true"},
		Word{"missed on the air", "a frame that the receiver flags as not heard; the link lived on"},
		Word{"never sent", "frames that lack between others: the receiver or the wire left them out"},
		Word{"damage", "bytes of a frame were broken on the wire"},
		Word{"failsafe", "the receiver's flag that it gave up hearing the transmitter"},
		Word{"silence", "no frame came for a while: receiver, supply or wire"},
		Word{"read late", "computer or adapter paused, frames came in a heap; no fault of the link"},
		Word{"spike", "a channel left its value for a moment and came back"},
	)
}
