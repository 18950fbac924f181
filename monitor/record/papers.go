package record

import "benchproof.example/monitor/event"

// PaperLines are the model's papers as people read them.
func (r *Record) PaperLines() []string { return event.PaperLines(r.Papers) }
