package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/view"
)

const (
	// troubleEvery is how far apart two runs of the user's command are, at least.
	troubleEvery = time.Minute
	// troubleLimit is how long one may take.
	troubleLimit = 30 * time.Second
)

func addOnTrouble(cmd *cobra.Command) {
	cmd.Flags().StringArray("on-trouble", nil, "a program of yours to run when something goes wrong or the goal is reached, and in further flags its "+
		"arguments; better in the settings file, as a list")
}

// onTrouble runs a command of the user's when something goes wrong or a goal is reached. It
// comes from settings alone, never from a sheet, and goes through no shell. One runs at a
// time, and one a minute at most: of what comes meanwhile the first waits and the others are
// counted.
type onTrouble struct {
	call    func(context.Context, news) error
	trouble func(error) // must not block

	mu       sync.Mutex
	next     *news
	drilling bool // a drill makes troubles itself
	rings    chan struct{}
}

// news is what a run of the command tells.
type news struct {
	kind, sentence string
	others         int // further ones that no run tells
}

// onTroubleOf is the user's command by the settings, nil where there is none.
func onTroubleOf(v *viper.Viper) ([]string, error) {
	args := v.GetStringSlice("on-trouble")
	if len(args) == 0 {
		return nil, nil
	}
	if _, err := exec.LookPath(args[0]); err != nil {
		return nil, fail(exitUsage, fmt.Errorf("got on-trouble %q, want a program that is there and its arguments, each an item of a list: %w", args, err))
	}
	return args, nil
}

func newOnTrouble(args []string, trouble func(error)) *onTrouble {
	t := &onTrouble{trouble: trouble, rings: make(chan struct{}, 1)}
	t.call = func(ctx context.Context, n news) error { return callFor(ctx, args, n, troubleLimit) }
	return t
}

// shown takes an event; it does not block.
func (t *onTrouble) shown(s session.Shown) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch e := &s.Event; {
	case e.Kind == event.DrillBegan || e.Kind == event.DrillEnded:
		t.drilling = e.Kind == event.DrillBegan
		return
	case t.drilling || !worthTelling(e):
		return
	case t.next != nil:
		t.next.others++
		return
	}
	t.next = &news{kind: s.Event.Kind, sentence: text.Printable(event.Sentence(&s.Event))}
	t.rings <- struct{}{} // take emptied it
}

// grave are the kinds of trouble that the command is run for. Of the others, such as a few
// missed frames, a night has many.
var grave = []string{
	event.TapDown, event.BusSilent, event.BoardSilent, event.OutputSilent, event.LinkLost, event.FailsafeEntered, event.ValuesStill,
	event.RecordingGap, event.RecordingHurt, event.JudgementFailed, event.GoalMissed,
}

// worthTelling reports whether the command is run for an event: a grave trouble, a claim
// that was seen wrong, the goal.
func worthTelling(e *event.Event) bool {
	grade := view.GradeOf(e)
	return grade == view.Wrong || grade == view.Trouble && slices.Contains(grave, e.Kind) || e.Kind == event.GoalReached
}

func (t *onTrouble) take() news {
	t.mu.Lock()
	defer t.mu.Unlock()
	n := *t.next
	t.next = nil
	return n
}

// run calls the command until ctx is done; one that runs then is killed.
func (t *onTrouble) run(ctx context.Context) {
	failed := false
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.rings:
		}
		again := time.After(troubleEvery)
		err := t.call(ctx, t.take())
		if ctx.Err() != nil {
			return
		}
		if err != nil && !failed {
			t.trouble(fmt.Errorf("the command of on-trouble: %w; said once, until it works again", err))
		}
		failed = err != nil
		select {
		case <-ctx.Done():
			return
		case <-again:
		}
	}
}

// callFor runs the user's command. Its last argument is the sentence, behind a word of ours
// so that no name from a sheet is taken for an option; the environment has it too, and what
// kind of event it is.
func callFor(ctx context.Context, args []string, n news, limit time.Duration) error {
	limited, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	says := "benchproof: " + n.sentence
	if n.others > 0 {
		says += fmt.Sprintf(" (and %d more since)", n.others)
	}
	cmd := exec.CommandContext(limited, args[0], append(slices.Clone(args[1:]), says)...)
	cmd.Env = append(withoutManager(os.Environ()), "BENCHPROOF_EVENT="+n.kind, "BENCHPROOF_SENTENCE="+n.sentence, "BENCHPROOF_OTHERS="+strconv.Itoa(n.others))
	killWithChildren(cmd)
	err := cmd.Run()
	if limited.Err() != nil && ctx.Err() == nil {
		return fmt.Errorf("%s did not end within %v and was killed", args[0], limit)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", args[0], err)
	}
	return nil
}

// withoutManager leaves out by what a process speaks to the service manager: that is ours.
func withoutManager(environment []string) []string {
	return slices.DeleteFunc(environment, func(v string) bool {
		return strings.HasPrefix(v, "NOTIFY_SOCKET=") || strings.HasPrefix(v, "WATCHDOG_")
	})
}
