package event

// The kinds of event of the servo leads. A board listens to them and prints a line for
// each pulse; its tap is of kind "pulses".
const (
	BoardHeard     = "board.heard"
	BoardSilent    = "board.silent"
	BoardLost      = "board.lost"
	OutputBack     = "output.back"
	OutputSilent   = "output.silent"
	OutputOdd      = "output.odd"
	OutputPaced    = "output.paced"
	OutputJitter   = "output.jitter"
	OutputUnsteady = "output.unsteady"
	OutputCalm     = "output.calm"
	OutputClipped  = "output.clipped"
	OutputFollows  = "output.follows"
	OutputReached  = "output.reached"
	OutputBeyond   = "output.beyond"
	OutputShifted  = "output.shifted"
)

var leadsKinds = []Row{
	row(BoardHeard, "tap:NAME", "Lines of the capture board come.", boardHeardSentence),
	trouble(row(BoardSilent, "tap:NAME", "None come any more.", boardSilentSentence)),
	trouble(row(BoardLost, "tap:NAME", "A run of trouble between board and computer. What was in lost lines is absent, never guessed.",
		boardLostSentence)),
	outputRow(OutputBack, "Pulses of an output come, for the first time or again.", outputBackSentence),
	trouble(outputRow(OutputSilent, "Its pulses stopped while others or the board's own lines went on; its onset is the last pulse.",
		outputSilentSentence)),
	trouble(outputRow(OutputOdd, "A run of pulses outside 700 to 2300 µs (common practice), or outside what the sheet's narrow pulses "+
		"need.", oddSentence)),
	offScreen(outputRow(OutputPaced, "The time from pulse to pulse is known, or another one.",
		func(_ *Event, d *PeriodData) string { return periodSentence("pulse", d) })),
	offScreen(outputRow(OutputJitter, "How far the width strayed from pulse to pulse while nothing commanded it to move.",
		jitterSentence)),
	trouble(outputRow(OutputUnsteady, "It swings slowly although nothing commands it.", unsteadySentence)),
	outputRow(OutputCalm, "It does no more.", unsteadySentence),
	outputRow(OutputClipped, "The receiver cut the movement off: the channels that move the output went on.", outputClippedSentence),
	offScreen(outputRow(OutputFollows, "The mix that was found: pulse width as a sum over channels, as free movement showed it. "+
		"Figures are fitted and rounded.", followsSentence)),
	offScreen(outputRow(OutputReached, "Where it stood with all that moves it at the ends that take it farthest to one side, where the "+
		"sheet wants a travel of it.", reachedSentence)),
	trouble(outputRow(OutputBeyond, "It went beyond the travel that the sheet wants, in four pulses in a row at least.", beyondSentence)),
	offScreen(outputRow(OutputShifted, "It rests elsewhere, or as before, now that another mode is asked for or another switch "+
		"stands elsewhere: sticks let go before and after, a minute apart at most.", shiftedSentence)),
}

// outputRow is the row of a kind that is about one output; its sentence follows the name.
func outputRow[D any](kind, meaning string, sentence func(e *Event, d *D) string) Row {
	return row(kind, "output:N", meaning, func(e *Event, name string, d *D) string {
		return "output " + name + ": " + sentence(e, d)
	})
}
