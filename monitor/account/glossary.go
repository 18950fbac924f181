package account

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
)

// Word is a word of an account and what it means.
type Word struct{ Word, Means string }

// Words explain an account to somebody who reads one for the first time.
func Words(a *state.Account) []Word {
	if t := ofLeadsAlone(a); t != nil {
		return wordsOfLeads(t)
	}
	names := []string{}
	for i := range a.Taps {
		names = append(names, a.Taps[i].Name)
	}
	is := "the bus that was listened to"
	if len(names) > 1 {
		is = "the buses that were listened to"
	}
	return append([]Word{{text.And(names), is}},
		Word{"live link", "whole frames came, and said that the receiver hears the transmitter; only this time counts"},
		Word{"outage", "the receiver had no signal, or sent nothing for a second or more"},
		Word{"occasion", "outages less than half an hour apart, since one cause often makes several"},
		Word{"once in 7 h on average, 95 % sure", "no promise of 7 h without one; of 20 such statements at least 19 are true"},
		Word{"missed on the air", "a frame flagged as not heard; the link lived on"},
		Word{"never sent", "a frame that lacks between others"},
		Word{"failsafe", "the receiver's flag that it gave up"},
		Word{"read late", "computer or adapter paused; no fault of the link"},
	)
}
