package state

// What is said of the present in words, as data: package view makes it, terminal and page show it.

// Part is one thing that is said of the present, in the order in which it is said.
type Part struct {
	Part  string `json:"part"`  // what it is about, such as "link", "mode", "throttle"
	Text  string `json:"text"`  // as the status line has it
	Grade string `json:"grade"` // "plain", or "trouble" where something is wrong
}

// Next is one thing to do, and the claims that it would settle.
type Next struct {
	Do     string   `json:"do"`     // a sentence
	Drill  string   `json:"drill"`  // the drill in which it is done, "" where none is needed
	Claims []string `json:"claims"` // their IDs
}
