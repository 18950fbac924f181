package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Words that mean something of their own where a name could stand.
var (
	reservedChannels = []string{"default", "everything", "failsafe"}
	reservedPlaces   = []string{Hold, Follows, Stops, Silent, neutral}
)

// neutral is the name of a channel's neutral where a place is asked for.
const neutral = "neutral"

// text reads free text on one line.
func (r *reader) text(n *node) (string, bool) {
	if n == nil || n.shape == refused {
		return "", false
	}
	what := n.row.Noun
	if n.shape != word || strings.TrimSpace(n.text) == "" {
		r.refuse(n, n.found(), fmt.Sprintf("%s as text, in quotes if it looks like a number,", what))
		return "", false
	}
	if strings.ContainsFunc(n.text, unicode.IsControl) {
		r.refuse(n, quote(n.text)+" with control characters", what+" as plain text")
		return "", false
	}
	return n.text, r.shortEnough(n, longestText)
}

// The longest that is taken in a new sheet, in characters: what is longer fills a page.
const (
	longestText = 200
	longestName = 60
)

// shortEnough refuses what is longer in a new sheet.
func (r *reader) shortEnough(n *node, most int) bool {
	long := utf8.RuneCountInString(n.text)
	if !r.fresh || long <= most {
		return true
	}
	r.refuse(n, fmt.Sprintf("%s of %d characters", quote(n.text), long), fmt.Sprintf("%s of at most %d", n.row.Noun, most))
	return false
}

// name reads a name that claims, commands and metrics can carry.
func (r *reader) name(n *node, reserved ...string) (string, bool) {
	if n == nil || n.shape == refused {
		return "", false
	}
	what := n.row.Noun
	if n.shape != word || !nameLike(n.text) {
		r.refuse(n, n.describe()+" as a name", fmt.Sprintf("%s of letters, digits, - and _ that begins with a letter", what))
		return "", false
	}
	if slices.Contains(reserved, n.text) {
		r.refuse(n, fmt.Sprintf("%s as a name, a word with a meaning of its own", quote(n.text)), what+" other than "+strings.Join(reserved, ", "))
		return "", false
	}
	return n.text, r.shortEnough(n, longestName)
}

func nameLike(text string) bool {
	for i, c := range text {
		if !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c) && c != '-' && c != '_') {
			return false
		}
	}
	return text != ""
}

// choice reads one of the words of its row.
func (r *reader) choice(n *node) (string, bool) {
	if n == nil {
		return "", false
	}
	return r.oneWord(n, n.row.Words)
}

// oneWord reads one of a few words.
func (r *reader) oneWord(n *node, words []string) (string, bool) {
	if n == nil || n.shape == refused {
		return "", false
	}
	if n.shape == word && slices.Contains(words, n.text) {
		return n.text, true
	}
	want := oneOf(words)
	if n.shape == word {
		want = suggest(n.text, words)
	}
	r.refuse(n, n.found(), want)
	return "", false
}

// noName says what stands where a name of the sheet's should; a wrong name says by itself
// where it stands.
func (n *node) noName() string {
	if n.shape == word {
		return n.describe()
	}
	return n.found()
}

// channel reads the name of a channel of the sheet.
func (r *reader) channel(n *node) (*Channel, bool) {
	if n == nil || n.shape == refused {
		return nil, false
	}
	if found, ok := r.sheet.ByName(n.text); ok && n.shape == word {
		return found, true
	}
	if r.nameless {
		return nil, false
	}
	known := make([]string, 0, len(r.sheet.Channels))
	for i := range r.sheet.Channels {
		if n.shape == number && n.text == strconv.Itoa(r.sheet.Channels[i].Number) {
			r.refuse(n, n.describe()+" for a channel", "its name "+r.sheet.Channels[i].Name)
			return nil, false
		}
		known = append(known, r.sheet.Channels[i].Name)
	}
	r.refuse(n, n.noName()+", which is not a channel of this sheet", suggest(n.text, known))
	return nil, false
}

// place reads the name of a place of a channel.
func (r *reader) place(n *node, of *Channel) (Place, bool) {
	if n == nil || n.shape == refused {
		return Place{}, false
	}
	if place, ok := of.Place(n.text); ok && n.shape == word {
		return place, true
	}
	if r.unsound[of.Name] {
		return Place{}, false
	}
	known := make([]string, 0, len(of.Places))
	for _, p := range of.Places {
		known = append(known, p.Name)
	}
	r.refuse(n, fmt.Sprintf("%s, which is not a position of %s", n.noName(), of.Name), suggest(n.text, known))
	return Place{}, false
}
