package main

import (
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// served is what follows from a session's sheet for those who look at it over HTTP.
func (s *liveSession) served(drills *course.Course, trouble func(error)) api.Options {
	claims := claim.NewIndex(s.sheet)
	return api.Options{
		Sheet:    view.Sheet(s.sheetName, s.sheetText, s.sheet),
		Headline: func(now *state.State) []state.Part { return view.Headline(now, s.sheet) },
		Next:     func(now *state.State) []state.Next { return view.Next(now, claims) },
		Check:    checkInput(s.sheet),
		Drills:   drills,
		Draft:    s.draft,
		Topics:   claim.Topics(s.sheet),
		Past:     s.beside(),
		Trouble:  trouble,
	}
}
