package monitor_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// phoned is hands on a bench with servo leads and a phone on the model. Nobody confirms a tilt.
type phoned struct {
	*builder
	events []event.Event
	idle   bool // the hands leave the model where it is
	turned int  // they tilt it the other way, -1, where it is 1: as told
}

// withPhone makes one: the phone lies askew by so many degrees, and the sheet says where its top is.
func withPhone(t testing.TB, a airframe, askew int, top, more string, seed uint64) *phoned {
	return withPhoneOn(t, sheetWithPhone(t, a, top),
		simtest.Model+"receiver main preset\n"+presets+leadsSetup+fmt.Sprintf("phone phone askew %d\n", askew)+a.mixes+more, seed)
}

// withPhoneOn makes one by its sheet, on a bench that is written out.
func withPhoneOn(t testing.TB, s *sheet.Sheet, text string, seed uint64) *phoned {
	scripted, err := script.ParseDriven("phone", []byte(text))
	require.NoError(t, err, text)
	p := &phoned{turned: 1}
	p.builder = &builder{t: t, rng: rand.New(rand.NewPCG(seed, 5)), sim: script.Drive(scripted, seed), sheet: s, beat: unit.Second}
	p.sim.KeepTruth = true
	p.engine = engine.New(p.sheet, func(e *event.Event, _ int64) {
		p.events = append(p.events, *e)
		p.hears(e)
	})
	data, _ := json.Marshal(event.Start{Build: "test", WallNS: 1_700_000_000_000_000_000, Taps: []event.TapName{
		{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}, {Name: "phone", Kind: "tilt"},
	}})
	p.step(&event.Input{Kind: event.InputBegin, Data: data})
	for tap := range uint8(3) {
		p.step(&event.Input{Tap: tap + 1, Kind: event.InputTapUp, Data: []byte(`{"port":"simulated"}`)})
	}
	return p
}

// sheetWithPhone is sheetOf with a phone among its taps.
func sheetWithPhone(t testing.TB, a airframe, top string) *sheet.Sheet {
	before, rest, ok := strings.Cut(string(sheettest.TwoSwitches()), "outputs:\n  1:")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "\n\n")
	require.True(t, ok)
	before = strings.Replace(before, "taps:\n", "taps:\n  phone: {kind: tilt, top: "+top+"}\n", 1)
	s, err := sheet.Read(a.name, []byte(before+a.sheet+"\n"+after))
	require.NoError(t, err)
	return s
}

// lays is the drill that shows how the phone lies, by hands that may turn each tilt round.
func (p *phoned) lays() *event.TiltLaidData {
	p.turning(drill.Laying)
	for i := range p.events {
		if d, ok := p.events[len(p.events)-1-i].Data.(event.TiltLaidData); ok {
			return &d
		}
	}
	return nil
}

// turning follows a drill; tilts are as told, turned round, or left undone.
func (p *phoned) turning(name string) {
	p.ended = false
	p.say(name, event.StepBegin, "")
	p.between(300, 600)
	p.say(name, event.StepConfirm, "")
	for deadline := p.at.Add(10 * unit.Minute); !p.ended; {
		require.Less(p.t, p.at, deadline, "the drill %s ends", name)
		if len(p.prompts) == 0 {
			p.run(20 * unit.Millisecond)
			continue
		}
		prompt := p.prompts[0]
		p.prompts = p.prompts[1:]
		part := event.PromptPart(prompt)
		tilts := part == event.PromptTilted || part == event.PromptOpposite
		switch {
		case tilts && p.idle:
		case tilts && p.turned < 0:
			other := map[string]string{"/there": "/other", "/other": "/there"}["/"+part]
			p.follow(name, strings.TrimSuffix(prompt, "/"+part)+other)
		default:
			p.follow(name, prompt)
		}
	}
	p.do("inner back")
	p.between(300, 500)
	p.do("outer back")
	p.between(2000, 3000)
}

// claims are those of the sitting once it has ended.
func (p *phoned) claims() map[string]*claim.Claim {
	p.step(&event.Input{At: p.at, Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, c := range p.engine.Claims() {
		found[c.ID] = c
	}
	return found
}

// On three airframes, with the phone askew by up to 20 degrees: signs are right, the correct model is
// wrong in nothing, and all that tilts show is seen right although nobody confirms one.
func TestAPhoneSeesWhoTilted(t *testing.T) {
	for i, a := range airframes {
		t.Run(a.name, func(t *testing.T) {
			t.Parallel()
			for _, seed := range seedsFrom(t, uint64(i), 1) {
				askew := int(seed*13%41) - 20
				p := withPhone(t, a, askew, "nose", "", seed)
				p.free()
				laid := p.lays()
				require.NotNil(t, laid)
				require.True(t, laid.Agrees, "seed %d, askew %d: %s", seed, askew, laid.Why)
				p.turning(drill.Response)
				p.turning(drill.Correction)
				p.eachTiltWasSeen(seed)
				claims := p.claims()
				for id, c := range claims {
					if c.Verdict == claim.VerdictWrong {
						t.Errorf("seed %d: %s: %s", seed, id, c.Sentence)
					}
				}
				provenHoldBut(t, claims, seed)
			}
		})
	}
}

// eachTiltWasSeen holds what the phone saw of each tilt to what the hands really did.
func (p *phoned) eachTiltWasSeen(seed uint64) {
	n := 0
	for i := range p.events {
		d, ok := p.events[i].Data.(event.DrillAnsweredData)
		if !ok || d.Tilt == nil {
			continue
		}
		n++
		assert.Equal(p.t, "as-asked", string(d.Tilt.Sight), "seed %d, %s: %+v", seed, d.Prompt, d.Tilt)
		assert.Equal(p.t, "count", d.By)
		far := p.really(p.events[i].From, p.events[i].At, d.Prompt)
		angle := d.Tilt.Signed()
		assert.InDelta(p.t, far, max(angle, -angle), float64(max(d.Tilt.DoubtCdeg, far*4/100)), "seed %d, %s: %+v", seed, d.Prompt, d.Tilt)
	}
	assert.Positive(p.t, n)
}

// really is how far the hands tilted the model about the axis of a prompt while it stood, cdeg.
func (p *phoned) really(from, to unit.Time, prompt string) (far int64) {
	axis := p.sheet.Tilted()
	for _, a := range []string{"roll", "pitch", "yaw"} {
		if strings.Contains(prompt, "/"+a+"/") {
			axis = a
		}
	}
	if strings.Contains(prompt, "laying/left/") {
		axis = "roll"
	}
	for _, x := range p.sim.Truth() {
		if x.Kind == "tilt" && x.About == axis && x.To == "still" && unit.Time(x.At) >= from && unit.Time(x.At) <= to {
			far = max(x.Angle, -x.Angle) / 10
		}
	}
	return far
}

// provenHoldBut holds a sitting without a loss of the signal to the claims that it settles.
func provenHoldBut(t *testing.T, claims map[string]*claim.Claim, seed uint64) {
	for _, id := range proven {
		for n := 1; n <= 1 || n <= 4 && strings.HasSuffix(id, "N"); n++ {
			id := strings.Replace(id, "N", fmt.Sprint(n), 1)
			c, ok := claims[id]
			if ok && !strings.HasPrefix(id, "failsafe") && c.Verdict != claim.VerdictRight {
				t.Errorf("seed %d: %s is %s: %s", seed, id, c.Verdict, c.Sentence)
			}
		}
	}
}

// A phone that lies the wrong way round, or across, and a nose raised for a tail are asked about
// in each case; nothing is fitted, and no tilt is believed afterwards.
func TestWhatDisagreesIsAskedAbout(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for _, x := range []struct {
			askew  int
			top    string
			turned int
		}{
			{180, "nose", 1}, {170, "nose", 1}, {-165, "nose", 1}, {90, "nose", 1}, {-75, "nose", 1}, {105, "nose", 1},
			{0, "tail", 1}, {0, "left", 1}, {15, "nose", -1}, {-20, "nose", -1},
		} {
			p := withPhone(t, airframes[seed%3], x.askew, x.top, "", seed)
			p.turned = x.turned
			p.do("signal on")
			p.run(2 * unit.Second)
			laid := p.lays()
			require.NotNil(t, laid)
			assert.False(t, laid.Agrees, "%+v", x)
			assert.Contains(t, laid.Why, "Which is it", "%+v", x)
			c := p.claims()["laying/phone"]
			assert.Equal(t, claim.VerdictOpen, c.Verdict)
		}
	}
}

// A dead stabiliser and hands that do nothing look the same on the leads. The phone tells one from the other.
func TestADeadStabiliserAndIdleHandsAreToldApart(t *testing.T) {
	for i, a := range airframes {
		for _, idle := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s/idle %v", a.name, idle), func(t *testing.T) {
				t.Parallel()
				for _, seed := range seedsFrom(t, uint64(i), 1) {
					p := withPhone(t, a, 10, "nose", "fault correction all 0%\n", seed)
					p.free()
					require.True(t, p.lays().Agrees)
					p.idle = idle
					p.turning(drill.Response)
					p.turning(drill.Correction)
					for id, c := range p.claims() {
						if !strings.HasPrefix(id, "response/upright") && !strings.HasPrefix(id, "response/damping") && !strings.HasPrefix(id, "correction/") {
							continue
						}
						if idle {
							assert.Equal(t, claim.VerdictOpen, c.Verdict, "seed %d, %s: %s", seed, id, c.Sentence)
							assert.Contains(t, c.Sentence, "not seen by the phone", "%s", id)
						} else {
							assert.Equal(t, claim.VerdictWrong, c.Verdict, "seed %d, %s: %s", seed, id, c.Sentence)
							assert.Contains(t, c.Sentence, "seen by a phone on the model", "%s", id)
						}
					}
				}
			})
		}
	}
}

// A nose that is raised for a tail, with a phone that was shown to lie right, is asked about and judges nothing.
func TestANoseForATailIsAskedAbout(t *testing.T) {
	p := withPhone(t, airframes[0], -12, "nose", "", 3)
	p.free()
	require.True(t, p.lays().Agrees)
	p.turned = -1
	p.turning(drill.Correction)
	for id, c := range p.claims() {
		if strings.HasPrefix(id, "correction/") {
			assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", id, c.Sentence)
			assert.Contains(t, c.Sentence, "which was it?", "%s", id)
		}
	}
}

// A phone that tells its attitude too seldom, or has no gyroscope, lets nobody be accused of what it can't see: on a
// stabiliser that is dead about every axis, one that is good enough sees that, and what another does not see stays open.
func TestPhonesThatSeeTooLittle(t *testing.T) {
	a := airframes[0]
	for _, x := range []struct {
		phone string
		laid  bool
		sees  map[string]bool // the axes about which it sees a tilt
	}{
		{"rate 200", true, map[string]bool{"pitch": true, "roll": true, "yaw": true}},
		{"rate 12", true, map[string]bool{"pitch": true, "roll": true, "yaw": true}},
		{"gyroscope none", true, map[string]bool{"pitch": true, "roll": true}},
		{"rate 1", false, nil},
		{"rate 8", false, nil},
	} {
		t.Run(x.phone, func(t *testing.T) {
			t.Parallel()
			p := withPhoneOn(t, sheetWithPhone(t, a, "nose"), simtest.Model+"receiver main preset\n"+presets+leadsSetup+
				"phone phone askew 0 "+x.phone+"\n"+a.mixes+"fault correction all 0%\n", 2)
			p.free()
			assert.Equal(t, x.laid, p.lays().Agrees)
			p.turning(drill.Correction)
			for id, c := range p.claims() {
				axis, ok := strings.CutPrefix(id, "correction/")
				if !ok {
					continue
				}
				axis, _, _ = strings.Cut(axis, "/")
				want := claim.VerdictOpen
				if x.sees[axis] {
					want = claim.VerdictWrong
				}
				assert.Equal(t, want, c.Verdict, "%s: %s", id, c.Sentence)
			}
		})
	}
}

// What the link does beside a phone is left out of its figures, and it is said why.
func TestAPhoneIsARadioOfItsOwn(t *testing.T) {
	p := withPhone(t, airframes[0], 0, "nose", "", 1)
	p.do("signal on")
	p.run(90 * unit.Second)
	account := p.engine.State().Account
	require.Len(t, account.Taps, 1)
	assert.Greater(t, account.Taps[0].PhoneNS, 80*unit.Second)
	assert.Less(t, account.Taps[0].LiveNS, 5*unit.Second)
	p.loss()
	claims := p.claims()
	assert.Equal(t, claim.VerdictOpen, claims["link/missed"].Verdict, claims["link/missed"].Sentence)
	assert.Equal(t, claim.VerdictOpen, claims["failsafe/time"].Verdict)
	assert.Contains(t, claims["failsafe/time"].Sentence, "a radio of its own")
	assert.Equal(t, claim.VerdictRight, claims["failsafe/throttle"].Verdict, claims["failsafe/throttle"].Sentence)
}
