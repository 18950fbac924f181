package api

import (
	"fmt"
	"net/http"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// healthAnswer says whether all is well, and what is not.
type healthAnswer struct {
	Well     bool      `json:"well"`
	Troubles []trouble `json:"troubles"`
}

// trouble is one thing that is unwell.
type trouble struct {
	About    string `json:"about"` // "tap:main", "judgement", "recording" or "disk"
	Sentence string `json:"sentence"`
}

func (s *Server) health(w http.ResponseWriter, _ *http.Request) {
	now := s.opt.State()
	h := healthAnswer{Troubles: troubles(&now)}
	h.Well = len(h.Troubles) == 0
	code := http.StatusOK
	if !h.Well {
		code = http.StatusServiceUnavailable
	}
	answer(w, code, h)
}

// troubles is all that is unwell.
func troubles(now *state.State) []trouble {
	all := []trouble{}
	for i := range now.Taps {
		t := &now.Taps[i]
		if t.Phone != nil { // one that is not there is no trouble
			continue
		}
		text := tapTrouble(t, now.NowNS)
		if t.LineFault != nil && !t.Condition().IsHeard() {
			text = "nothing can be read, " + t.LineFault.Because()
		}
		if text != "" {
			all = append(all, trouble{event.AboutTap.Called(t.Name), fmt.Sprintf("tap %s: %s", t.Name, text)})
		}
	}
	if behind := now.Behind(); behind > 0 {
		all = append(all, trouble{"judgement", fmt.Sprintf("nothing has been judged for %s: benchproof itself is stuck or overloaded", span(behind))})
	}
	return append(all, recorderTroubles(&now.Recorder)...)
}

// tapTrouble is what is unwell with a tap, "" for nothing.
func tapTrouble(t *state.Tap, now unit.Time) string {
	switch t.Condition() {
	case state.ConditionNotYetOpen:
		return "its port is not open yet"
	case state.ConditionNotOpen:
		return "its port is not open: " + t.Why
	case state.ConditionNothingIn:
		return "the port is open, but nothing has come in"
	case state.ConditionUnreadable:
		if t.Board != nil {
			return fmt.Sprintf("%d characters came in, but no line of a capture board can be read from them: its rate, or another device?", t.Bytes)
		}
		return fmt.Sprintf("%d characters came in, but no frame can be read from them: inverter, or the wrong output of the receiver?", t.Bytes)
	case state.ConditionNoPulse:
		return "the capture board is heard, but no pulse: are its leads on the outputs, and the receiver on?"
	case state.ConditionSilent:
		if t.Board != nil {
			return fmt.Sprintf("no output is heard, the last pulse was %s ago", span(now.Sub(t.LastNS)))
		}
		return fmt.Sprintf("the bus is silent, the last frame was %s ago", span(now.Sub(t.LastNS)))
	case state.ConditionNoLiveFrame:
		return "no live frame: the receiver flags each as lost"
	case state.ConditionFailsafe:
		return "the receiver is in failsafe"
	case state.ConditionLive:
	}
	return ""
}

func recorderTroubles(r *state.Recorder) (list []trouble) {
	because := ""
	if r.Trouble != "" {
		because = ": " + r.Trouble
	}
	for _, what := range r.Troubles() {
		switch what {
		case state.TroubleDiskStalled:
			list = append(list, trouble{"disk", fmt.Sprintf("the disk of %s has not answered for two seconds%s", r.Folder, because)})
		case state.TroubleNotRecording:
			list = append(list, trouble{"recording", fmt.Sprintf("what is heard now is not recorded in %s%s", r.Folder, because)})
		case state.TroubleDisk:
			list = append(list, trouble{"disk", fmt.Sprintf("trouble with the disk of %s%s", r.Folder, because)})
		}
	}
	return list
}

// span shows a stretch of time to a tenth of a second.
func span(d unit.Duration) string { return time.Duration(d).Round(100 * time.Millisecond).String() }
