package event

import "slices"

// Row is one kind of event: all that is known of it, in one place.
type Row struct {
	Kind    string
	About   string // what its events are about, see Event.About; NAME, N and ID stand for the one
	Meaning string // sentences for the list of events
	Data    any    // a zero value of the struct that Event.Data holds, nil for none

	OffScreen bool // no line while a person looks on: claims and the summary say what becomes of it
	AtMoment  bool // shown with the moment itself, since its onset may be long ago

	sentence func(e *Event, name string) string
	trouble  func(e *Event) bool // something that should not be; nil: never
}

// row makes the row of a kind with data. sentence gets the name in what the event is
// about: "main" of "tap:main".
func row[D any](kind, about, meaning string, sentence func(e *Event, name string, d *D) string) Row {
	var none D
	return Row{Kind: kind, About: about, Meaning: meaning, Data: none, sentence: func(e *Event, name string) string {
		d, ok := e.Data.(D)
		if !ok {
			return ""
		}
		return sentence(e, name, &d)
	}}
}

// offScreen is a row whose events have no line on the screen.
func offScreen(r Row) Row {
	r.OffScreen = true
	return r
}

// atMoment is a row whose events are shown with the moment itself.
func atMoment(r Row) Row {
	r.AtMoment = true
	return r
}

// trouble is a row whose events stand out on the screen: something that should not be.
func trouble(r Row) Row {
	r.trouble = func(*Event) bool { return true }
	return r
}

// troubleIf is one whose events do so where their data say it.
func troubleIf[D any](says func(D) bool, r Row) Row {
	r.trouble = func(e *Event) bool {
		d, ok := e.Data.(D)
		return ok && says(d)
	}
	return r
}

// Section is a chapter of the table of kinds.
type Section struct {
	Title string
	Rows  []Row
}

// table has every kind of event, in the order in which people read about them.
var table = []Section{
	{"The session", sessionKinds},
	{"Ports and the line", tapKinds},
	{"The link and its loss", linkKinds},
	{"Controls", controlKinds},
	{"Servo leads", leadsKinds},
	{"A phone on the model", slices.Concat(tiltKinds, phoneTurnedKinds)},
	{"Drills", drillKinds},
	{"The stabiliser in figures", slices.Concat(attitudeKinds, gainSeriesKinds, edgeKinds)},
	{"Long runs", soakKinds},
	{"The model's papers", papersKinds},
}

// rows are those of the table, by kind.
var rows = func() map[string]*Row {
	m := map[string]*Row{}
	for _, s := range table {
		for i := range s.Rows {
			m[s.Rows[i].Kind] = &s.Rows[i]
		}
	}
	return m
}()

// Table is every kind of event, by chapter. It must not be changed.
func Table() []Section { return table }

// Sentence is one sentence about an event, without its date.
func Sentence(e *Event) string {
	name := nameIn(e.About)
	if r := rows[e.Kind]; r != nil {
		if s := r.sentence(e, name); s != "" {
			return s
		}
	}
	return e.About + ": " + e.Kind
}
