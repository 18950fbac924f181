package world

// MinimumJerk is the bare course of a hand.
var MinimumJerk = minimumJerk
