package card

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"benchproof.example/monitor/text"
)

//go:embed card.html.tmpl
var layout string

// WritePage prints the card as one HTML file that needs nothing else: one page of A4 or letter paper.
func (c *Card) WritePage(w io.Writer) error {
	t, err := template.New("card").Parse(layout)
	if err != nil {
		return fmt.Errorf("print the card: %w", err)
	}
	if err := t.Execute(&text.Writer{To: w}, c); err != nil {
		return fmt.Errorf("print the card: %w", err)
	}
	return nil
}

// NotSafe is a sentence of every card, for its page.
func (c *Card) NotSafe() string { return NotSafe }

// TiltNotes are those of every card about tilts.
func (c *Card) TiltNotes() string { return tiltNotes }

// HowDrill says on every card how a drill is done.
func (c *Card) HowDrill() string { return howDrill }
