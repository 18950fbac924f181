package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/state"
)

// errOtherSession: a page waits for events of another session, or of one that is not read any more.
var errOtherSession = errors.New("the page shows another session")

// present is the present as all pages are told it: what is alike for all is worked out and
// encoded once.
type present struct {
	news atomic.Bool // behind the latest moment

	mu      sync.Mutex
	at      time.Time // when the moment was made
	latest  moment
	claims  []state.Claim // as of latest
	stand   string        // likewise, where channels stand
	changed []int64       // the version at which each of them changed

	lookers sync.Mutex
	looking int
}

// moment is the present at one time.
type moment struct {
	now     []byte // JSON
	next    []byte // likewise, what is to be done next; it follows from the verdicts
	version int64  // of the claims, 0 for none yet
	stepped int64  // of next, likewise
	claims  []state.Claim
	changed []int64
}

// freshFor is how long the same moment is told where there is no news.
const freshFor = liveBeat / 2

// moment is the latest one, made anew if it is older than all may have.
func (p *present) moment(s *Server) moment {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.news.Swap(false) && p.latest.now != nil && time.Since(p.at) < freshFor {
		return p.latest
	}
	picture := s.opt.State()
	next, stepped := p.latest.next, p.latest.stepped
	if stand := standing(&picture); p.compare(picture.Claims) || stand != p.stand {
		again, _ := json.Marshal(s.nextOf(&picture)) // likewise
		if p.stand = stand; !bytes.Equal(again, next) {
			next, stepped = again, stepped+1
		}
	}
	text, _ := json.Marshal(s.nowOf(&picture)) // of plain fields: it can't fail
	p.at = time.Now()
	p.latest = moment{now: text, next: next, version: p.latest.version, stepped: stepped, claims: p.claims, changed: p.changed}
	return p.latest
}

// standing is which drill is under way, how taps do, and at which places of the sheet channels
// stand: what is to be done next hangs on it.
func standing(s *state.State) string {
	var all strings.Builder
	all.WriteString(s.Drill)
	for i := range s.Taps {
		all.WriteString(string(s.Taps[i].Condition()))
		for _, c := range s.Taps[i].Channels {
			all.WriteString(c.Place)
			all.WriteByte('/')
		}
	}
	return all.String()
}

// compare finds out which claims changed, and whether any did. Lists that were handed out stay as
// they are.
func (p *present) compare(claims []state.Claim) bool {
	anew := len(claims) != len(p.claims) || p.latest.version == 0
	var changed []int
	for i := range claims {
		if anew || !sameClaim(&claims[i], &p.claims[i]) {
			changed = append(changed, i)
		}
	}
	if len(changed) == 0 && !anew {
		return false
	}
	p.latest.version++
	p.changed = slices.Clone(p.changed)
	if anew {
		p.changed = make([]int64, len(claims))
	}
	for _, i := range changed {
		p.changed[i] = p.latest.version
	}
	p.claims = claims
	return true
}

func sameClaim(a, b *state.Claim) bool {
	return a.ID == b.ID && a.Verdict == b.Verdict && a.Sentence == b.Sentence && a.Settle == b.Settle && a.Drill == b.Drill &&
		slices.Equal(a.Evidence, b.Evidence) && maps.Equal(a.Figures, b.Figures)
}

// since is the claims that changed behind a version, as JSON; all of them behind 0.
func (m *moment) since(version int64) []byte {
	list := []state.Claim{}
	for i := range m.claims {
		if m.changed[i] > version {
			list = append(list, listed(m.claims[i]))
		}
	}
	text, _ := json.Marshal(map[string][]state.Claim{"claims": list}) // of plain fields: it can't fail
	return text
}

// looks counts who looks, and says so where the first comes and the last goes.
func (p *present) looks(watched func(bool), more int) {
	p.lookers.Lock()
	defer p.lookers.Unlock()
	before := p.looking > 0
	p.looking += more
	if after := p.looking > 0; watched != nil && before != after {
		watched(after)
	}
}
