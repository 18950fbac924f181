package main

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/view"
)

// paragraph is how wide running text is set at most, columns.
const paragraph = 100

// isTerminal reports whether a person sits at the other end.
func isTerminal(stream any) bool {
	f, ok := fileOf(stream)
	return ok && term.IsTerminal(int(f.Fd()))
}

// described is a stream of the system.
type described interface{ Fd() uintptr }

// sizeOf is how many columns and rows a terminal has; 0 where a stream is none.
func sizeOf(stream any) (columns, rows int) {
	if !isTerminal(stream) {
		return 0, 0
	}
	f, _ := fileOf(stream)
	columns, rows, err := term.GetSize(int(f.Fd()))
	if err != nil || columns <= 0 {
		return 80, 24 // a terminal that does not say
	}
	return max(columns, fewestColumns), rows
}

// fewestColumns are those that a sentence needs behind its date.
const fewestColumns = 30

// paragraphOn sets running text for a stream, each line of it behind the indent.
func paragraphOn(stream any, indent, running string) string {
	if columns, _ := sizeOf(stream); columns > 0 {
		return view.Hang(indent, running, min(columns, paragraph))
	}
	return text.Wrap(text.PrintableLines(running), paragraph, indent)
}

// paintOf says whether a stream shows colours: a terminal does, unless the environment
// has NO_COLOR.
func paintOf(stream any) view.Paint {
	return view.Paint(isTerminal(stream) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb")
}

// say shows a person a sentence: on a terminal it is wrapped at words.
func say(talk io.Writer, sentence string) { sayBehind(talk, "", sentence) }

// sayBehind shows a sentence behind a prefix, where its further lines are indented.
func sayBehind(to io.Writer, prefix, sentence string) {
	columns, _ := sizeOf(to)
	fmt.Fprintln(to, view.Hang(prefix, sentence, columns))
}
