package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// presets is a loss after which every channel went where the sheet wants
// it, or held, visibly.
func presets() event.LossData {
	d := event.LossData{
		Tap: "main", Drill: drill.Failsafe, Class: event.LossMixed, Flag: event.FlagClassInTime, DatedBy: "flags", LiveNS: unit.Time(60 * unit.Second),
		UpNS: 3 * unit.Minute, LostNS: 7 * unit.Millisecond, FailsafeNS: unit.Second, SilentNS: -1, SettledNS: unit.Second,
		Mode: "plain", ModeNS: unit.Second, WatchedNS: 5 * unit.Second, OnNS: 20 * unit.Second, BackNS: 22 * unit.Second,
	}
	for range 16 {
		d.Channels = append(d.Channels, event.LossChannel{Class: event.LossHold, WasNS: 1_700_000, NowNS: 1_700_000})
	}
	goes := func(channel int, was, now unit.Width) {
		d.Channels[channel-1] = event.LossChannel{Class: event.LossPreset, WasNS: was, NowNS: now, HeldNS: unit.Second, SettledNS: unit.Second}
	}
	goes(3, 1_400_000, 988_000)
	goes(9, 2_000_000, 1_756_000)
	goes(11, 2_012_000, 1_500_000)
	goes(15, 2_012_000, 988_000)
	return d
}

func (c *court) loses(change func(*event.LossData)) {
	d := presets()
	change(&d)
	c.hear(event.LossMeasured, "tap:main", d)
}

func TestLosses(t *testing.T) {
	for _, x := range []struct {
		name, id string
		change   func(*event.LossData)
		want     claim.Verdict
	}{
		{"where no flag dated it, a channel is judged by the whole", "failsafe/throttle", func(d *event.LossData) { d.FailsafeNS = -1 }, claim.VerdictRight},
		{"and where one did", "failsafe/throttle", func(*event.LossData) {}, claim.VerdictRight},
		{"a throttle that is up", "failsafe/throttle", func(d *event.LossData) { d.Channels[2].NowNS = 1_013_000 }, claim.VerdictWrong},
		{"just within", "failsafe/throttle", func(d *event.LossData) { d.FailsafeNS = -1; d.Channels[2].NowNS = 1_012_000 }, claim.VerdictRight},
		{"a channel that is silent", "failsafe/throttle",
			func(d *event.LossData) { d.Channels[2].Class, d.Channels[2].NowNS = event.LossSilent, 1_400_000 }, claim.VerdictOpen},
		{"a channel that moves", "failsafe/throttle", func(d *event.LossData) {
			d.Channels[2].Class, d.Channels[2].NowNS = event.LossMoving, 1_400_000
		}, claim.VerdictOpen},
		{"nothing was lost", "failsafe/throttle", func(d *event.LossData) { d.Class = event.LossNone; d.Channels[2].NowNS = 1_400_000 }, claim.VerdictOpen},
		{"the mode", "failsafe/mode", func(*event.LossData) {}, claim.VerdictRight},
		{"another mode", "failsafe/mode", func(d *event.LossData) { d.Mode = "upright" }, claim.VerdictWrong},
		{"no mode was seen", "failsafe/mode", func(d *event.LossData) { d.ModeNS = -1 }, claim.VerdictOpen},
		{"its channel may have stood there", "failsafe/mode", func(d *event.LossData) { d.Channels[10].Class = event.LossUnclear }, claim.VerdictOpen},
		{"a hold that was watched for five seconds", "failsafe/aileron", func(*event.LossData) {}, claim.VerdictRight},
		{"for less a preset may come yet", "failsafe/aileron", func(d *event.LossData) { d.WatchedNS = 5*unit.Second - 1 }, claim.VerdictOpen},
		{"nor is such a hold wrong", "failsafe/throttle", func(d *event.LossData) {
			d.WatchedNS, d.Channels[2] = 5*unit.Second-1, event.LossChannel{Class: event.LossHold, WasNS: 1_400_000, NowNS: 1_400_000}
		}, claim.VerdictOpen},
		{"later it is", "failsafe/throttle", func(d *event.LossData) {
			d.Channels[2] = event.LossChannel{Class: event.LossHold, WasNS: 1_400_000, NowNS: 1_400_000}
		}, claim.VerdictWrong},
		{"nor is the mode of channels that are held yet", "failsafe/mode", func(d *event.LossData) {
			d.WatchedNS, d.Mode, d.Channels[10].Class = 5*unit.Second-1, "upright", event.LossHold
		}, claim.VerdictOpen},
		{"on its way when this ended", "failsafe/throttle",
			func(d *event.LossData) { d.Channels[2].Class, d.Channels[2].NowNS = event.LossUnderWay, 1_200_000 }, claim.VerdictOpen},
		{"a preset is seen at once", "failsafe/throttle", func(d *event.LossData) { d.WatchedNS = 2 * unit.Second }, claim.VerdictRight},
		{"sooner over than the sheet wants anything", "failsafe/throttle", func(d *event.LossData) {
			d.WatchedNS, d.FailsafeNS = unit.Second, -1
		}, claim.VerdictOpen},
		{"a flag, and no time of it", "failsafe/flag", func(d *event.LossData) { d.DatedBy, d.LostNS = "unknown", -1 }, claim.VerdictRight},
		{"a flag that may have been in time", "failsafe/time", func(d *event.LossData) {
			d.FailsafeNS, d.FlagUnheardNS = 1600*unit.Millisecond, 200*unit.Millisecond
		}, claim.VerdictOpen},
		{"and that was, whatever was not heard before", "failsafe/time", func(d *event.LossData) { d.FlagUnheardNS = 200 * unit.Millisecond }, claim.VerdictRight},
		{"values that may have rested in time", "failsafe/time", func(d *event.LossData) {
			d.SettledNS, d.SettledUnheardNS = 1600*unit.Millisecond, 100*unit.Millisecond
		}, claim.VerdictOpen},
		{"and that did not", "failsafe/time", func(d *event.LossData) {
			d.SettledNS, d.SettledUnheardNS = 1600*unit.Millisecond, 99*unit.Millisecond
		}, claim.VerdictWrong},
		{"which is judged by none", "failsafe/time", func(d *event.LossData) { d.DatedBy, d.LostNS, d.FailsafeNS = "unknown", -1, unit.Second }, claim.VerdictOpen},
		{"a time in doubt", "failsafe/time", func(d *event.LossData) { d.DoubtNS = 501 * unit.Millisecond }, claim.VerdictOpen},
		{"in doubt, and in time all the same", "failsafe/time", func(d *event.LossData) { d.DoubtNS = 500 * unit.Millisecond }, claim.VerdictRight},
		{"no flag in three seconds", "failsafe/flag",
			func(d *event.LossData) {
				d.Flag, d.FailsafeNS, d.WatchedNS = event.FlagClassLostOnly, -1, 3*unit.Second
			}, claim.VerdictWrong},
		{"it may come yet", "failsafe/flag", func(d *event.LossData) {
			d.Flag, d.FailsafeNS, d.WatchedNS = event.FlagClassLostOnly, -1, 3*unit.Second-1
		}, claim.VerdictOpen},
		{"no flag", "failsafe/flag", func(d *event.LossData) { d.Flag, d.FailsafeNS = event.FlagClassLostOnly, -1 }, claim.VerdictWrong},
		{"values that settle late", "failsafe/time", func(d *event.LossData) { d.SettledNS = 1500*unit.Millisecond + 1 }, claim.VerdictWrong},
		{"and in time", "failsafe/time", func(d *event.LossData) { d.SettledNS = 1500 * unit.Millisecond }, claim.VerdictRight},
		{"back in three seconds", "failsafe/back", func(d *event.LossData) { d.BackNS = 23 * unit.Second }, claim.VerdictRight},
		{"back later", "failsafe/back", func(d *event.LossData) { d.BackNS = 23*unit.Second + 1 }, claim.VerdictWrong},
		{"back later, or not", "failsafe/back", func(d *event.LossData) { d.BackNS, d.BackUnheardNS = 24*unit.Second, unit.Second }, claim.VerdictOpen},
		{"back later, for sure", "failsafe/back", func(d *event.LossData) { d.BackNS, d.BackUnheardNS = 24*unit.Second, unit.Second-1 }, claim.VerdictWrong},
		{"not back in ten seconds", "failsafe/back", func(d *event.LossData) { d.BackNS, d.EndedNS = -1, 30*unit.Second }, claim.VerdictWrong},
		{"it may come yet", "failsafe/back", func(d *event.LossData) { d.BackNS, d.EndedNS = -1, 30*unit.Second-1 }, claim.VerdictOpen},
		{"back before it was said to be on", "failsafe/back", func(d *event.LossData) { d.OnNS, d.Drill = -1, drill.Failsafe }, claim.VerdictOpen},
		{"nobody was asked to switch on", "failsafe/back", func(d *event.LossData) { d.OnNS, d.Drill = -1, "" }, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.loses(x.change)
			assert.Equal(t, x.want, c.verdict(x.id))
		})
	}
}

// What may have come in time or not is said with what was not heard before it.
func TestALossOverAHole(t *testing.T) {
	for want, change := range map[string]func(*event.LossData){
		"whether the failsafe flag came within 1.50 s is not known: for 0.20 s before it was there, 1.60 s after the last live frame": func(d *event.LossData) {
			d.FailsafeNS, d.FlagUnheardNS = 1600*unit.Millisecond, 200*unit.Millisecond
		},
		"whether values came to rest within 1.50 s is not known: for 0.10 s before they had, 1.60 s after the last live frame": func(d *event.LossData) {
			d.SettledNS, d.SettledUnheardNS = 1600*unit.Millisecond, 100*unit.Millisecond
		},
		"whether control is back within 3.00 s is not known: for 1.00 s before it was, 4.00 s after the transmitter was said to be on": func(d *event.LossData) {
			d.BackNS, d.BackUnheardNS = 24*unit.Second, unit.Second
		},
	} {
		c := starter(t)
		c.loses(change)
		assert.Contains(t, c.claim("failsafe/time").Sentence+c.claim("failsafe/back").Sentence, want)
	}
}

// What could not be reported is said of what is open.
func TestLossesThatTellNothing(t *testing.T) {
	c := starter(t)
	c.loses(func(d *event.LossData) { d.Class = event.LossNone })
	for id, says := range map[string]string{
		"failsafe/flag":     "; nothing was lost: values went on moving and no flag came",
		"failsafe/throttle": "; nothing was lost when it was tried", "failsafe/back": "; nothing was lost when it was tried",
	} {
		assert.Equal(t, claim.VerdictOpen, c.verdict(id))
		assert.Contains(t, c.claim(id).Sentence, says, id)
	}
}

func codes(t *testing.T, change func(*event.LossData)) (list []string) {
	d := presets()
	change(&d)
	for _, f := range claim.Findings(starter(t).sheet, &d) {
		list = append(list, f.Code)
	}
	return list
}

func TestFindings(t *testing.T) {
	for _, x := range []struct {
		name   string
		change func(*event.LossData)
		want   []string
	}{
		{"none", func(*event.LossData) {}, nil},
		{"a throttle that is up", func(d *event.LossData) { d.Channels[2].NowNS = 1_300_000 }, []string{claim.CodeThrottleUp}},
		{"and mirrored", func(d *event.LossData) { d.Channels[2].NowNS = 2_000_000 }, []string{claim.CodeThrottleUp, claim.CodeMirrored}},
		{"a learning channel pressed", func(d *event.LossData) { d.Channels[14].NowNS = 1_700_000 }, []string{claim.CodeNotAtRest}},
		{"a switch elsewhere", func(d *event.LossData) { d.Channels[10].NowNS = 1_513_000 }, []string{claim.CodeElsewhere}},
		{"no gain at all", func(d *event.LossData) { d.Channels[8].NowNS = 1_500_000 }, []string{claim.CodeElsewhere, claim.CodeGainZero}},
		{"another mode", func(d *event.LossData) { d.Mode = "damping" }, []string{claim.CodeModeElsewhere}},
		{"a late flag", func(d *event.LossData) { d.Flag = event.FlagClassLate }, []string{claim.CodeFlagLate}},
		{"no failsafe flag", func(d *event.LossData) { d.Flag, d.FailsafeNS = event.FlagClassLostOnly, -1 }, []string{claim.CodeFlagNever}},
		{"no flag", func(d *event.LossData) { d.Flag, d.FailsafeNS, d.LostNS = event.FlagClassNever, -1, -1 }, []string{claim.CodeFlagNever}},
		{"settled late", func(d *event.LossData) { d.SettledNS = 2 * unit.Second }, []string{claim.CodeSettledLate}},
		{"held for 100 ms past the flag", func(d *event.LossData) { d.Channels[2].HeldNS = 1100 * unit.Millisecond }, nil},
		{"and longer", func(d *event.LossData) { d.Channels[2].HeldNS = 1101 * unit.Millisecond }, []string{claim.CodeShortHold}},
		{"late back", func(d *event.LossData) { d.BackNS = 24 * unit.Second }, []string{claim.CodeBackLate}},
		{"not back in ten seconds", func(d *event.LossData) { d.BackNS, d.EndedNS = -1, 30*unit.Second }, []string{claim.CodeBackNever}},
		{"it may come yet", func(d *event.LossData) { d.BackNS, d.EndedNS = -1, 30*unit.Second-1 }, nil},
		{"nothing lost", func(d *event.LossData) { d.Class = event.LossNone }, []string{claim.CodeNothingLost}},
		{"nothing told", func(d *event.LossData) { d.Class = event.LossUnclear }, []string{claim.CodeNotMeasured}},
	} {
		t.Run(x.name, func(t *testing.T) { assert.Equal(t, x.want, codes(t, x.change)) })
	}
}

// onTheWord is a loss of which the wire showed nothing.
func onTheWord(d *event.LossData) {
	d.Class, d.DatedBy, d.Flag, d.LostNS, d.FailsafeNS = event.LossUnclear, "builder", event.FlagClassNever, -1, -1
	for i := range d.Channels {
		d.Channels[i].Class, d.Channels[i].NowNS = event.LossUnclear, d.Channels[i].WasNS
	}
}

// What rests on the builder's word is said so, and never as if it had been seen.
func TestWhatNoWireShowedIsNoLoss(t *testing.T) {
	d := presets()
	onTheWord(&d)
	with := starter(t).sheet
	without := *with
	without.Heartbeat = nil
	for _, s := range []*sheet.Sheet{with, &without} {
		got := claim.LossSummary(s, &d)
		for _, never := range []string{"With the signal gone", "last live one", "the receiver does could not be told"} {
			assert.NotContains(t, got, never)
		}
		assert.Contains(t, got, "either the transmitter was not switched off, or the receiver hides the loss")
		assert.Equal(t, s == with, strings.Contains(got, "No heartbeat was seen to break off"), got)
		assert.Equal(t, s != with, strings.Contains(got, "move a stick round and round"), got)
	}
}

func TestAnswers(t *testing.T) {
	for _, x := range []struct {
		change func(*event.LossData)
		says   []string
	}{
		{func(*event.LossData) {}, []string{
			"the receiver moved throttle, gain, inner, teach to presets and held aileron, elevator, rudder, outer.",
			"known by the receiver's flags; first frame flagged as lost 7.0 ms later; failsafe flag 1.00 s later; all values at rest 1.00 s later",
			"All that was seen of it is as the sheet wants.",
		}},
		{func(d *event.LossData) { d.Class = event.LossHold }, []string{"the receiver held its last values."}},
		{func(d *event.LossData) { d.FailsafeNS, d.LostNS = -1, -1 }, []string{"no flag was ever set"}},
		{func(d *event.LossData) { d.Class = event.LossNone }, []string{"What looked like a loss of the signal was none. Nothing was lost: "}},
		{func(d *event.LossData) { d.Class, d.DatedBy = event.LossNone, "builder" }, []string{
			"said that the transmitter was off; the wire showed no loss. Nothing was lost: values went on moving"}},
		{onTheWord, []string{
			"said that the transmitter was off; the wire showed no loss: no flag came, frames went on, and each value stayed where it stood. " +
				"It could not be told",
			"either the transmitter was not switched off, or the receiver hides the loss"}},
		{func(d *event.LossData) { d.DatedBy = "builder" }, []string{"No frame could be found that was certainly the last live one."}},
		{func(*event.LossData) {}, []string{"control back 2.00 s after the transmitter was said to be on"}},
		{func(d *event.LossData) { d.Class = event.LossUnclear }, []string{"could not be told", "Put sticks and switches visibly away"}},
	} {
		d := presets()
		x.change(&d)
		got := claim.LossSummary(starter(t).sheet, &d)
		for _, says := range x.says {
			assert.Contains(t, got, says)
		}
	}
}

func TestPowerUp(t *testing.T) {
	for _, x := range []struct {
		name   string
		change func(*event.PowerUpData)
		want   claim.Verdict
	}{
		{"at cut", func(*event.PowerUpData) {}, claim.VerdictRight},
		{"to the edge of the tolerance", func(d *event.PowerUpData) { d.Channels[2].MostNS = 1_000_000 }, claim.VerdictRight},
		{"above it for a moment", func(d *event.PowerUpData) { d.Channels[2].MostNS = 1_000_001 }, claim.VerdictWrong},
		{"below it", func(d *event.PowerUpData) { d.Channels[2].LeastNS = 900_000 }, claim.VerdictRight},
		{"it was never off", func(d *event.PowerUpData) { d.Off = false }, claim.VerdictOpen},
		{"it sent nothing", func(d *event.PowerUpData) { d.Frames, d.Channels = 0, nil }, claim.VerdictOpen},
		{"it flagged nothing, so nothing was looked at", func(d *event.PowerUpData) { d.Flagged, d.Channels = 0, nil }, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c, d := starter(t), event.PowerUpData{Tap: "main", Off: true, Frames: 100, Flagged: 100, Channels: make([]event.PowerUpRanges, 16)}
			d.Channels[2] = event.PowerUpRanges{LeastNS: 988_000, MostNS: 988_000}
			x.change(&d)
			c.hear(event.PowerUpMeasured, "tap:main", d)
			assert.Equal(t, x.want, c.verdict("powerup/throttle"))
		})
	}
}

// A channel that is to hold and stood where it rests by itself may have been put
// there: two losses at two places show a hold.
func TestAHoldTakesTwoPlaces(t *testing.T) {
	c := starter(t)
	settled := func(aileron unit.Width) {
		c.loses(func(d *event.LossData) {
			d.Channels[0] = event.LossChannel{Class: event.LossUnclear, WasNS: aileron, NowNS: aileron}
		})
	}
	settled(1_500_000)
	assert.Equal(t, claim.VerdictOpen, c.verdict("failsafe/aileron"))
	settled(1_500_000)
	assert.Equal(t, claim.VerdictOpen, c.verdict("failsafe/aileron"), "the same place again")
	c.hear(event.Reopened, "session", event.ReopenData{What: "aileron"})
	settled(2_012_000)
	assert.Equal(t, claim.VerdictOpen, c.verdict("failsafe/aileron"), "what was changed since counts no more")
	settled(1_500_000)
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/aileron"))
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/elevator"), "away from where it rests one loss is enough")
}

func TestAFlagThatIsAbsentIsNotClaimed(t *testing.T) {
	c := open(t, strings.Replace(string(sheettest.TwoSwitches()), "flag: required", "flag: absent", 1))
	for _, k := range c.book.Claims() {
		assert.NotContains(t, []string{"failsafe/flag", "failsafe/time"}, k.ID)
	}
}

// How long a failsafe took to end says nothing of how soon it came.
func TestTheEndOfAFailsafeIsNotItsBeginning(t *testing.T) {
	c := starter(t)
	c.hear(event.FailsafeLeft, "tap:main", event.FailsafeData{LiveNS: 1, AfterNS: unit.Second})
	assert.Empty(t, c.verdicts())
}

func TestASheetWithoutFailsafeWantsNothingOfALoss(t *testing.T) {
	s := *starter(t).sheet
	s.Failsafe = nil
	d := event.LossData{Class: event.LossHold, Flag: event.FlagClassNever, DatedBy: "stirred", SilentNS: -1, WatchedNS: 6 * unit.Second}
	assert.Empty(t, claim.Findings(&s, &d))
	assert.Contains(t, claim.LossSummary(&s, &d), "The sheet says nothing about failsafe, so nothing was judged.")
}
