// Command benchproof listens to the servo bus of a model on the bench, compares
// what it hears with a set-up sheet and keeps the evidence.
package main

import "os"

func main() {
	s := heedSignals()
	code := run(s.ctx, os.Args[1:], newOutput(s.ctx, os.Stdout), newOutput(s.ctx, os.Stderr))
	os.Exit(code)
}
