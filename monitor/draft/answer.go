package draft

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Answer takes a line that the builder typed; "" is an Enter alone.
func (c *Conversation) Answer(line string) {
	words := strings.Join(strings.Fields(line), " ")
	q := c.question
	switch {
	case q == nil:
	case q.Act == ActConfirm:
		c.confirm(words)
	case q.Wire() && words == "":
		c.enter(q)
	case q.Wire():
		c.say("The wire answers this one: do what is asked. Or skip it, go back, or have it asked anew.")
	case words == "" && q.Enter == "":
		c.say("An answer is needed here%s. Or skip it.", wordsOf(q))
	default:
		from := Said
		if words == "" {
			words, from = q.Enter, Assumed
		}
		c.answered(Answer{words, q.Wants, from})
	}
}

// enter takes an Enter alone where the wire is to answer.
func (c *Conversation) enter(q *Question) {
	switch q.Act {
	case ActJump:
		c.foundCut(c.asIdle())
	case ActPut:
		c.done(func(*Model) {})
	default:
		c.say("%s", c.lacking())
	}
}

// wordsOf lists the words that may be typed.
func wordsOf(q *Question) string {
	if len(q.Choices) == 0 {
		return ""
	}
	var list []string
	for _, x := range q.Choices {
		list = append(list, x.Word)
	}
	return ": " + strings.Join(list, ", ")
}

// confirm is no answer to come back to: the cautions are said once each time.
func (c *Conversation) confirm(words string) {
	if words != wordYes {
		c.say("Type yes once all of it holds. Nothing is asked for before.")
		return
	}
	c.Model.Done[c.question.ID] = true
	c.ask()
}

// asIdle is the cut of a throttle that sends the same at idle.
func (c *Conversation) asIdle() Place {
	found := c.Model.Found[keyThrottle]
	p := *found.place("idle")
	p.Name = "cut"
	return p
}

// answered checks an answer in words, and keeps it.
func (c *Conversation) answered(a Answer) {
	q := c.question
	if why := c.refused(q, &a); why != "" {
		c.say("%s", why)
		return
	}
	if q.Act == ActPutMode && a.Words != wordNone {
		c.putMode(a)
		return
	}
	c.done(func(m *Model) {
		m.Answers[q.ID] = a
		m.follow(q, a.Words)
	})
}

// refused says what is wrong with an answer, "" for nothing.
func (c *Conversation) refused(q *Question, a *Answer) string {
	switch {
	case q.Act == ActChoose:
		return q.refusedChoice(a)
	case a.Words == q.Enter:
		return ""
	}
	switch q.Wants {
	case WantsChannel:
		return c.refusedChannel(a.Words)
	case WantsCount:
		return wholeBetween(a.Words, 2, mostPlaces)
	case WantsTimes:
		return refusedList(a.Words, 2, 1, 60)
	case WantsWidth:
		return refusedList(a.Words, 1, 700, 2300)
	case WantsEdges:
		return refusedEdges(a.Words, len(c.Model.Found[q.Control].Places)-1)
	case WantsControl:
		return c.refusedOther(a.Words)
	case WantsText:
		return refusedText(a.Words)
	}
	if q.Act == ActPutMode && !isName(a.Words) {
		return fmt.Sprintf("Got %q, want a name of letters, digits, - and _, beginning with a letter.", a.Words)
	}
	return ""
}

// refusedChoice takes a word in any case for the choice that it is.
func (q *Question) refusedChoice(a *Answer) string {
	if i := slices.IndexFunc(q.Choices, func(x Choice) bool { return strings.EqualFold(x.Word, a.Words) }); i >= 0 {
		a.Words = q.Choices[i].Word
		return ""
	}
	return fmt.Sprintf("Got %q, want one of%s.", a.Words, wordsOf(q))
}

// longestText is how long a text may be, in bytes.
const longestText = 200

func refusedText(words string) string {
	if len(words) > longestText || strings.ContainsFunc(words, unicode.IsControl) {
		return fmt.Sprintf("Want plain text on one line, %d bytes at most.", longestText)
	}
	return ""
}

func (c *Conversation) refusedChannel(words string) string {
	if why := wholeBetween(words, 1, c.Heard.protocol.LastChannel()); why != "" {
		return why
	}
	n, _ := strconv.Atoi(words)
	if key := c.Model.taken(n); key != "" {
		return fmt.Sprintf("Channel %d is %s already. Want another one, or go back.", n, c.Model.nameOf(key))
	}
	return ""
}

func wholeBetween(words string, least, most int) string {
	if n, err := strconv.Atoi(words); err != nil || n < least || n > most {
		return fmt.Sprintf("Got %q, want a whole number from %d to %d.", words, least, most)
	}
	return ""
}

// refusedList checks whole numbers in a row.
func refusedList(words string, count, least, most int) string {
	list := strings.Fields(words)
	if len(list) != count {
		return fmt.Sprintf("Got %q, want numbers: %d.", words, count)
	}
	for _, x := range list {
		if why := wholeBetween(x, least, most); why != "" {
			return why
		}
	}
	return ""
}

// refusedEdges checks the edges of windows: they rise.
func refusedEdges(words string, count int) string {
	if why := refusedList(words, count, 700, 2300); why != "" {
		return why
	}
	if !slices.IsSorted(edgesOf(words)) {
		return fmt.Sprintf("Got %q, want the lowest first.", words)
	}
	return ""
}

func edgesOf(words string) (list []unit.Width) {
	for _, x := range strings.Fields(words) {
		n, _ := strconv.Atoi(x)
		list = append(list, unit.Width(n)*1000)
	}
	return list
}

func (c *Conversation) refusedOther(words string) string {
	kind, name, _ := strings.Cut(words, " ")
	if !slices.Contains([]string{sheet.Switch, sheet.Knob, sheet.Momentary}, kind) || !isName(name) {
		return fmt.Sprintf("Got %q, want switch, knob or momentary and a name of letters, digits, - and _, such as: switch flaps", words)
	}
	if slices.Contains(notNames, name) {
		return fmt.Sprintf("%s has a meaning of its own. Want another name.", name)
	}
	for _, x := range c.Model.Found {
		if x.Name == name {
			return fmt.Sprintf("There is a %s already. Want another name.", name)
		}
	}
	return ""
}

// notNames are words that a sheet, or this conversation, has for something else.
var notNames = []string{"default", "everything", "failsafe", "mode", "mode-1", "mode-1b", "mode-2", "mode-2b",
	keyTeach, keyGain, keyThrottle, keyElevator, keyAileron, keyRudder}

// longestName is how long a name may be, in bytes.
const longestName = 60

func isName(words string) bool {
	for i, r := range words {
		if !unicode.IsLetter(r) && (i == 0 || !unicode.IsDigit(r) && r != '-' && r != '_') {
			return false
		}
	}
	return words != "" && len(words) <= longestName
}

// follow does to the model what follows from an answer.
func (m *Model) follow(q *Question, words string) {
	switch {
	case q.ID == "teach" && words != wordNone:
		n, _ := strconv.Atoi(words)
		m.Found[keyTeach] = Control{Key: keyTeach, Name: keyTeach, Kind: sheet.Momentary, Channel: n, From: Said}
	case q.ID == "teach:kind":
		c := m.Found[keyTeach]
		c.Kind = words
		m.Found[keyTeach] = c
	case q.ID == "gain:channel":
		n, _ := strconv.Atoi(words)
		m.Found[keyGain] = Control{Key: keyGain, Name: keyGain, Kind: sheet.Fixed, Channel: n, From: Measured,
			Places: []Place{{Name: "value", Width: m.Rest[n-1], Times: 1}}}
	case q.Wants == WantsControl && words != wordNone:
		m.Others++
	case m.Pair.Key != "" && q.Control == m.Pair.Key:
		m.settlePair(q.Control, words)
	}
}

// putMode keeps a mode where the switches stand.
func (c *Conversation) putMode(a Answer) {
	at := map[string]string{}
	for _, key := range c.Model.modeKeys() {
		found := c.Model.Found[key]
		width, stands := c.track(found.Channel).stands(standsFor)
		place := found.at(width)
		if place != nil && !stands {
			c.say("%s does not stand still yet. Wait a moment, and type the name again.", found.Name)
			return
		}
		if place == nil {
			c.say("%s stands at %s, at none of its places. Put it to one, and type the name again.", found.Name, unit.FormatWidth(width))
			return
		}
		at[key] = place.Name
	}
	for _, x := range c.Model.Modes {
		if maps.Equal(x.At, at) {
			c.say("Here it is called %s already. Put the switches to another place, or press Enter alone where there are no more modes.", x.Name)
			return
		}
	}
	c.done(func(m *Model) {
		m.Answers[fmt.Sprintf("modes:%d", len(m.Modes)+1)] = a
		m.Modes = append(m.Modes, Mode{a.Words, at})
	})
}
