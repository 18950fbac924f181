package view_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/view"
)

func claims(list ...[]claim.Claim) (all []*claim.Claim) {
	for _, part := range list {
		for i := range part {
			all = append(all, &part[i])
		}
	}
	return all
}

func several(n int, c claim.Claim) (list []claim.Claim) {
	for range n {
		list = append(list, c)
	}
	return list
}

var (
	right = claim.Claim{Verdict: claim.VerdictRight, Settle: claim.Action{Do: claim.DoDrill, Drill: "order"}, Sentence: "it moves"}
	never = claim.Claim{Verdict: claim.VerdictOpen, OnlyWrong: true, Settle: claim.Action{Do: claim.DoListenOn}, Sentence: "it never swings"}
	wrong = claim.Claim{Verdict: claim.VerdictWrong, Sentence: "the motor ran on", Reopens: "failsafe", Settle: claim.Action{Do: claim.DoLoseSignal}}
)

// open is a claim that a drill settles, "": any stick.
func open(drill string) claim.Claim {
	settle := claim.Action{Do: claim.DoDrill, Drill: drill}
	if drill == "" {
		settle = claim.Action{Do: claim.DoMove}
	}
	return claim.Claim{Verdict: claim.VerdictOpen, Settle: settle, Sentence: "it ends"}
}

func TestTheEndFitsAScreen(t *testing.T) {
	look := claim.Claim{Verdict: claim.VerdictStale, Settle: claim.Action{Do: claim.DoLook}, LookedAt: true}
	tried := open("")
	tried.LookedAt = true
	for _, x := range []struct {
		name   string
		claims []*claim.Claim
		ending view.Ending
		want   string
	}{
		{"all right", claims(several(2, right)), view.Ending{Columns: 80, Rows: 18},
			`2 seen right, 0 seen wrong, 0 open, 0 stale. The long list comes with --all.
Every claim of the sheet that can be seen right was. That is evidence about the
set-up, not a clearance to fly.`},
		{"all right that can be", claims([]claim.Claim{right, never}), view.Ending{Listed: true},
			`1 seen right, 0 seen wrong, 1 open (1 not looked at, 0 looked at but not settled), 0 stale. Of those open, 1 ` +
				`can only ever be seen wrong; they ask for nothing.
Every claim of the sheet that can be seen right was. That is evidence about the set-up, not a clearance to fly.`},
		{"one wrong", claims([]claim.Claim{right, wrong}), view.Ending{Columns: 40, Rows: 18, Listed: true},
			`  SEEN WRONG  the motor ran on
Mend that, then have it seen anew with:
benchproof reopen failsafe
1 seen right, 1 seen wrong, 0 open, 0
stale.`},
		{"one wrong, in colour", claims([]claim.Claim{right, wrong}), view.Ending{Listed: true, Paint: true},
			"\x1b[1;31m  SEEN WRONG  the motor ran on\x1b[0m\n" +
				"Mend that, then have it seen anew with: benchproof reopen failsafe\n1 seen right, 1 seen wrong, 0 open, 0 stale."},
		{"what settles most comes first, in the sheet's order where two settle as many",
			claims([]claim.Claim{tried}, several(2, open("ends")), several(2, open("gain")), []claim.Claim{look, look, look}),
			view.Ending{Columns: 80, Rows: 18}, `What settles most, with how many claims; a drill runs while it listens:
    3  look at the surface
    2  benchproof drill ends
    2  benchproof drill gain
    1  move a stick
0 seen right, 0 seen wrong, 5 open (4 not looked at, 1 looked at but not
settled), 3 stale. The long list comes with --all.`},
		{"five of them", claims([]claim.Claim{right}, several(2, open("a")), several(3, open("b")), several(1, open("c")), several(4, open("d")),
			several(5, open("e")), several(1, open("f"))), view.Ending{Columns: 80, Rows: 18, Listed: true},
			`What settles most, with how many claims; a drill runs while it listens:
    5  benchproof drill e
    4  benchproof drill d
    3  benchproof drill b
    2  benchproof drill a
    1  benchproof drill c
       and 1 other thing, for 1 claim
1 seen right, 0 seen wrong, 16 open (16 not looked at, 0 looked at but not
settled), 0 stale.`},
		{"nothing seen", claims([]claim.Claim{open("ends"), never}), view.Ending{Listed: true}, `None of the sheet's 2 claims was seen.
What settles most, with how many claims; a drill runs while it listens:
    1  benchproof drill ends
0 seen right, 0 seen wrong, 2 open (2 not looked at, 0 looked at but not settled), 0 stale. Of those open, 1 ` +
			`can only ever be seen wrong; they ask for nothing.`},
	} {
		t.Run(x.name, func(t *testing.T) { assert.Equal(t, x.want, strings.Join(x.ending.Lines(x.claims), "\n")) })
	}
}

// However much is wrong, the end fits; none that is wrong goes uncounted, and at least one
// is told in full.
func TestWhatIsWrongAndHasNoRoomIsCounted(t *testing.T) {
	var list []claim.Claim
	for _, drill := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		list = append(list, several(3, open(drill))...)
	}
	list = append(list, never)
	for n := 1; n < 40; n++ {
		failing := []claim.Claim{}
		for i := range n {
			c := wrong
			c.Sentence = fmt.Sprintf("output %d → %s", i, strings.Repeat("µs after µs ", 1+i%9))
			c.Reopens = fmt.Sprintf("channel-%d", i%7)
			failing = append(failing, c)
		}
		e := view.Ending{Columns: 80, Rows: 18}
		lines := e.Lines(claims(failing, list))
		assert.LessOrEqual(t, len(lines), 18, "%d wrong", n)
		told, counted := 0, 0
		for _, line := range lines {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80)
			if strings.HasPrefix(line, "  SEEN WRONG  ") {
				told++
			}
			if strings.Contains(line, "more SEEN WRONG") {
				_, err := fmt.Sscanf(strings.TrimSpace(line), "and %d more", &counted)
				assert.NoError(t, err)
			}
		}
		assert.Positive(t, told)
		assert.Equal(t, n, told+counted)
	}
}

func TestTheLongList(t *testing.T) {
	long := claim.Claim{Verdict: claim.VerdictWrong, Sentence: "the motor ran on after the signal was gone"}
	list := claims([]claim.Claim{open(""), right, long, {Verdict: claim.VerdictStale, Sentence: "it stood"}})
	assert.Equal(t, []string{"The sheet's claims:", "  open        it ends", "  seen right  it moves",
		"  SEEN WRONG  the motor ran on after the signal was gone", "  stale       it stood"}, view.ClaimList(list, 0, false))
	assert.Equal(t, []string{"The sheet's claims:", "  open        it ends", "\x1b[32m  seen right  \x1b[0mit moves",
		"\x1b[1;31m  SEEN WRONG  the motor ran on after the\x1b[0m", "\x1b[1;31m              signal was gone\x1b[0m",
		"  stale       it stood"}, view.ClaimList(list, 40, true))
}
