package script_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

func TestParseRefuses(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"nothing", "", `1: found the end of the file, want a last step such as "30s end"`},
		{"no end", simtest.Rig + "0s signal on\n", `13: found the end of the file`},
		{"no receiver", "channel 1 aileron 1500\n1s end", `2: found a step, want a receiver first`},
		{"unknown word", "chanel 1 aileron 1500", `1: found "chanel", want a time, or one of scale, packets, channel,`},
		{"channel number", "channel 19 aileron 1500", `1: found "19", want the channel's number, a whole number from 1 to 18`},
		{"leading zero", "channel 010 aileron 1500", `1: found "010"`},
		{"channel name", "channel 1 Aileron 1500", `1: found "Aileron", want the channel's name: lower-case`},
		{"name of a step", "channel 1 stir 1500", `1: found "stir", want a channel name that is not`},
		{"channel twice", simtest.Rig + "channel 1 other 1500", `12: found channel 1 again, want each channel once; line 1 has it`},
		{"name twice", simtest.Rig + "channel 2 aileron 1500", `12: found "aileron" again, want each name once; line 1 has it`},
		{"width missing", "channel 1 aileron", `1: found the end of the line, want where it stands at first in us`},
		{"width no count has", "channel 1 aileron 800", `1: found 800 us, which is -128 counts`},
		{"left over", "channel 1 aileron 1500 stops 988 2012 x", `1: found "x", want the end of the line`},
		{"stops", "channel 1 aileron 1500 stops 1600 2012", `1: found a start outside the stops`},
		{"place of nothing", "place inner back 988", `1: found "inner", want a channel declared above; there is none yet`},
		{"place twice", simtest.Rig + "place inner back 1000", `12: found "back" again, want each place of inner once`},
		{"between places", "channel 1 a 1000\nplace a x 988\nplace a y 2012\nreceiver main hold\n1s end",
			`1: found a starting at 1000 us, want the width of one of its places`},
		{"one place", "channel 1 a 988\nplace a x 988\nreceiver main hold\n1s end", `1: found a with one place`},
		{"heartbeat on a switch", simtest.Rig + "heartbeat inner 1000 2000 every 10s", `12: found a heartbeat on the switch inner`},
		{"place on a heartbeat", simtest.Rig + "heartbeat beat 1000 2000 every 10s\nplace beat x 1000", `13: found a place on the heartbeat beat`},
		{"falling heartbeat", simtest.Rig + "heartbeat beat 2000 1000 every 10s", `12: found a heartbeat that does not rise`},
		{"late scale", simtest.Rig + "scale 0 880 992 1500", `12: found a scale below a channel`},
		{"flat scale", "scale 5 880 5 1500", `1: found a scale that is no line, want both points of the scale lie at 5 counts`},
		{"pace", "packets every 0s", `1: found "0s", want the pace of the link, a time from 1ms to 1s`},
		{"receiver kind", "receiver main presets", `1: found "presets", want one of preset, hold, silent`},
		{"receiver twice", simtest.Rig + "receiver main hold", `12: found "main" again`},
		{"receiver called transmitter", "receiver transmitter hold", `1: found "transmitter" again`},
		{"receiver option", "receiver main hold flag both", `1: found "flag", want one of flags, after, period, footer, regain, chatter`},
		{"option twice", "receiver main hold after 1s after 2s", `1: found a second "after", want each option once`},
		{"short period", "receiver main hold period 3ms", `1: found "3ms", want the time from frame to frame, a time from 3.5ms to 1s`},
		{"chatter", "receiver main hold chatter 60", `1: found chatter 60, want at most 28 bytes`},
		{"preset of a holder", simtest.Rig + "preset rear aileron 1500", `12: found a preset for a receiver that is hold`},
		{"preset twice", simtest.Rig + "preset main inner middle\npreset main inner back", `13: found a second preset for inner`},
		{"preset nowhere", simtest.Rig + "preset main inner middel", `12: found "middel", want a place of inner or a width in us`},
		{"unknown receiver", simtest.Rig + "link side loss 1% burst 2", `12: found "side", want one of main, rear`},
		{"share without unit", simtest.Rig + "link main loss 0.01 burst 2", `12: found "0.01", want the mean share of missed packets, a share from 0% to 99%`},
		{"share that is no number", simtest.Rig + "link main loss nan% burst 2", `12: found "nan%"`},
		{"negative share", simtest.Rig + "wire main missing -1%", `12: found "-1%"`},
		{"loss without bursts", simtest.Rig + "link main loss 60% burst 1", `12: found a loss that needs longer bursts`},
		{"wire option", simtest.Rig + "wire main broken 1%", `12: found "broken", want one of missing, damage, noise`},
		{"clump", simtest.Rig + "adapter main clump 16", `12: found "16", want the adapter's timer, a time from 100µs to 1s`},
		{"step out of order", simtest.Rig + "2s signal on\n1s signal off\n3s end", `13: found 1s, want a time not before that of the last step, 2s`},
		{"bad time", simtest.Rig + "2x signal on", `12: found "2x", want the time of the step`},
		{"setting among steps", simtest.Rig + "0s signal on\nadapter main none\n1s end", `13: found "adapter", want a step that starts with its time`},
		{"unknown step", simtest.Rig + "0s inter front", `12: found "inter", want one of a switch, signal, stick,`},
		{"stick as a switch", simtest.Rig + "0s aileron front", `12: found "aileron", want one of a switch`},
		{"unknown place", simtest.Rig + "0s inner up", `12: found "up", want one of back, middle, front`},
		{"switch as a stick", simtest.Rig + "0s stick inner 1500 over 1s", `12: found "inner", want a channel that a hand moves`},
		{"past the stop", simtest.Rig + "0s stick aileron 2100 over 1s", `12: found 2100 us, want a width between the stops of aileron, 988 and 2012`},
		{"stir without an end", simtest.Rig + "0s stir aileron", `12: found the end of the line, want "for"`},
		{"press of three", simtest.Rig + "0s press inner for 1s", `12: found "inner", want a switch with two places`},
		{"hands", simtest.Rig + "hands shaky", `12: found "shaky", want one of steady, varied`},
		{"no hands", simtest.Rig + "hands", `12: found the end of the line, want one of steady, varied`},
		{"cutoff of a switch", simtest.Rig + "cutoff inner 988", `12: found "inner", want a channel that a hand moves`},
		{"cutoff twice", simtest.Rig + "cutoff aileron 988\ncutoff aileron 988", `13: found a second cutoff, want one throttle cut`},
		{"cut without a cutoff", simtest.Rig + "0s cut on", `12: found a cut, want a setting such as "cutoff throttle 988" first`},
		{"cut", simtest.Rig + "cutoff aileron 988\n0s cut onn", `13: found "onn", want one of on, off`},
		{"release of a switch", simtest.Rig + "0s release inner", `12: found "inner", want a channel that a hand moves`},
		{"release of nothing", simtest.Rig + "0s release", `12: found the end of the line, want one of aileron,`},
		{"release without a spring", "channel 3 throttle 988\nreceiver main hold\n0s release throttle",
			`3: found "throttle", want a channel that starts between its stops`},
		{"hiccup of a holder", simtest.Rig + "0s hiccup rear for 1s", `12: found a hiccup of a receiver that is hold, want a receiver that is preset`},
		{"hiccup without an end", simtest.Rig + "0s hiccup main", `12: found the end of the line, want "for"`},
		{"press with an extra of three", simtest.Rig + "fault extra inner far 2100\n0s press inner for 1s", `13: found "inner", want a switch with two places`},
		{"fault", simtest.Rig + "fault slow inner 1s", `12: found "slow", want one of lands, combo, extra, slew,`},
		{"no fault", simtest.Rig + "fault", `12: found the end of the line, want one of lands,`},
		{"fault before the channels", "fault reverse aileron", `1: found "aileron", want a channel declared above; there is none yet`},
		{"lands of a stick", simtest.Rig + "fault lands aileron left 988", `12: found "aileron", want a channel with places above`},
		{"lands nowhere", simtest.Rig + "fault lands inner up 988", `12: found "up", want one of back, middle, front`},
		{"combo of one", simtest.Rig + "fault combo inner front inner back as inner front inner back", `12: found the same switch twice, want two switches`},
		{"combo the other way round", simtest.Rig + "fault combo inner front teach rest as teach rest inner front", `12: found "teach", want "inner"`},
		{"combo without as", simtest.Rig + "fault combo inner front teach rest", `12: found the end of the line, want "as"`},
		{"combo before the channels", "fault combo inner front outer front as inner front outer front", `1: found "inner"`},
		{"extra twice", simtest.Rig + "fault extra teach rest 1500", `12: found "rest" again, want each place of teach once`},
		{"extra of a stick", simtest.Rig + "fault extra aileron far 1500", `12: found "aileron", want a channel with places above`},
		{"slew", simtest.Rig + "fault slew inner 0s", `12: found "0s", want the time from stop to stop, a time from 1ms to 1h0m0s`},
		{"slew of what can't move", "channel 1 a 1500 stops 1500 1500\nfault slew a 1s", `2: found a without any travel, want a channel whose stops differ`},
		{"range of what can't move", "channel 1 a 1500 stops 1500 1500\nfault range a 988 2012", `2: found a without any travel`},
		{"lags", simtest.Rig + "fault lags inner", `12: found the end of the line, want how late the channel follows`},
		{"falling range", simtest.Rig + "fault range aileron 2012 988", `12: found ends that do not rise, want the lower end first`},
		{"clip to one width", simtest.Rig + "fault clip aileron 1500 " +
			"1500", `12: found ends that do not rise, want the lower end first; for a single width use "fault stuck"`},
		{"stuck where no count is", simtest.Rig + "fault stuck aileron 800", `12: found 800 us, which is -128 counts`},
		{"offset", simtest.Rig + "fault offset aileron +12", `12: found "+12", want what is added in us, a whole number from -1000 to 1000`},
		{"scale without unit", simtest.Rig + "fault scale aileron 0.8", `12: found "0.8", want the share of the travel, a share from 0% to 200%`},
		{"negative scale", simtest.Rig + "fault scale aileron -80%", `12: found "-80%"`},
		{"swap with itself", simtest.Rig + "fault swap aileron aileron", `12: found the same channel twice, want two channels`},
		{"mix", simtest.Rig + "fault mix aileron inner 201%", `12: found "201%", want the share that is added, a share from -200% to 200%`},
		{"memory", simtest.Rig + "fault memory aileron", `12: found the end of the line, want where the channel stands in us`},
		{"cut fault", simtest.Rig + "fault cut off", `12: found "off", want "ignored"`},
		{"cut fault without a cutoff", simtest.Rig + "fault cut ignored", `12: found a cut, want a setting such as "cutoff throttle 988" first`},
		{"spike", simtest.Rig + "fault spike aileron 2012 every 3s for 0 frames", `12: found "0", want the frames of a spike, a whole number from 1 to 1000`},
		{"spike without its unit", simtest.Rig + "fault spike aileron 2012 every 3s for 3", `12: found the end of the line, want "frames"`},
		{"signal", simtest.Rig + "0s signal maybe", `12: found "maybe", want one of on, off`},
		{"receiver called second", "receiver second hold", `1: found "second" again`},
		{"range that falls", "receiver main hold after 2s..1s", `1: found a range that falls, want its lesser end first`},
		{"half a range", "receiver main hold after 2s..", `1: found "", want the time to failsafe, a time from 50ms to 1m0s`},
		{"range of too much", "receiver main hold regain 1s..2m", `1: found "2m", want the time to regain, or never, a time from 0s to 1m0s`},
		{"holder that holds first", "receiver main hold holds 1s", `1: found holds for a receiver that is hold, want holds only where`},
		{"ramp to silence", "receiver main silent ramp 1s", `1: found a ramp for a receiver that is silent, want a ramp only to presets`},
		{"holder that wakes at presets", "receiver main hold wakes " +
			"presets", `1: found presets before the first link for a receiver that is hold, want wakes neutral or silent`},
		{"wakes", "receiver main hold wakes hold", `1: found "hold", want one of presets, neutral, silent`},
		{"early", "receiver main hold early yes", `1: found "yes", want one of both, lost, failsafe, none`},
		{"flag before failsafe", "receiver main preset after 1s..2s flagged " +
			"1500ms", `1: found a failsafe flag after 1.5s, want a time not before failsafe, 2s; for values that leave after the flag use holds`},
		{"preset range that falls", simtest.Rig + "preset main aileron 1500..1400", `12: found a range that falls`},
		{"preset from a place", simtest.Rig + "preset main inner back..middle", `12: found "middle", want a width in us, a whole number`},
		{"mirror", simtest.Rig + "preset main aileron 1200 mirror", `12: found "mirror", want "mirrored"`},
		{"mirror off the scale", simtest.Rig + "preset main aileron 2150 " +
			"mirrored", `12: found a mirrored preset that the scale can't carry, want a width whose mirror at 1500 us has a count in 0 to 2047`},
		{"teaching a holder", simtest.Rig + "teach rear every 60s", `12: found teaching for a receiver that is hold, want a receiver that is preset`},
		{"teaching once", simtest.Rig + "teach main after 60s", `12: found "after", want "every"`},
		{"stabiliser", simtest.Rig + "stabiliser main sometimes aileron within 30", `12: found "sometimes", want one of always, failsafe`},
		{"stabiliser of nothing", simtest.Rig + "stabiliser main always within 30", `12: found "within", want one of aileron, inner, teach, beat`},
		{"stabiliser without a bound", simtest.Rig + "stabiliser main always aileron", `12: found the end of the line, want "within"`},
		{"still stabiliser", simtest.Rig + "stabiliser main always aileron within " +
			"0", `12: found "0", want how far it moves them in us, a whole number from 1 to 500`},
		{"stabiliser twice", simtest.Rig + "stabiliser main always aileron within 9\nstabiliser main always inner within 9",
			`13: found a second stabiliser for main, want one stabiliser a receiver`},
		{"warns of nothing", simtest.Rig + "warns", `12: found the end of the line, want one of aileron,`},
		{"warns of a heartbeat", simtest.Rig + "heartbeat beat 1000 2000 every 10s\nwarns beat", `13: found the heartbeat beat, want a channel that a hand moves`},
		{"second", simtest.Rig + "second stands", `12: found "stands", want one of follows, holds, rests, moves`},
		{"second after a gap", simtest.Rig + "second follows after 1s", `12: found "after", want "gap"`},
		{"second twice", simtest.Rig + "second follows\nsecond holds", `13: found a second transmitter again, want one second transmitter`},
		{"power", simtest.Rig + "0s power on", `12: found "on", want one of main, rear`},
		{"half power", simtest.Rig + "0s power main half", `12: found "half", want one of on, off`},
		{"output without a board", simtest.Rig + "output 1 by aileron 100%", `12: found an output, want a setting such as "board leads of main" first`},
		{"tilt without a board", simtest.Rig + "0s tilt roll 20 over 1s", `12: found a tilt, want a setting such as "board leads of main" first`},
		{"restart without a board", simtest.Rig + "0s restart leads", `12: found a restart, want a setting such as "board leads of main" first`},
		{"board of nothing", simtest.Rig + "board leads of side", `12: found "side", want one of main, rear`},
		{"board called as a receiver", simtest.Rig + "board main of main", `12: found "main" again, want a name of its own for each receiver and board`},
		{"second board", simtest.Rig + "board leads of main\nboard more of main", `13: found a second board, want one board; line 12 has it`},
		{"board's clock", simtest.Rig + "board leads of main clock quartz", `12: found "quartz", want one of crystal, ceramic`},
		{"link of a board", simtest.Rig + "board leads of main\nlink leads loss 1% burst 2", `13: found "leads", want one of main, rear`},
		{"servos", simtest.Rig + "servos delayed 9ms", `12: found "delayed", want one of together, delay, steps, jitter`},
		{"axis", simtest.Rig + "axis roll aileron right 2012", `12: found "right", want "left"`},
		{"axis of a switch", simtest.Rig + "axis roll inner left 988", `12: found "inner", want a channel that a hand moves`},
		{"axis without a way", simtest.Rig + "axis roll aileron left 1500", `12: found an end at 1500 us, want the width of an end of the stick`},
		{"gyro", simtest.Rig + "gyro heading when inner 0 1300", `12: found "heading", want one of off, rate, level, course, gain, lies, dead, creep, keeps`},
		{"gyro without a window", simtest.Rig + "gyro rate when", `12: found the end of the line, want one of aileron,`},
		{"empty window", simtest.Rig + "gyro rate when inner 1300 1300", `12: found a window without anything in it, want its lower end first`},
		{"gyro's gain", simtest.Rig + "gyro gain 201%", `12: found "201%", want the gain, a share from 0% to 200%`},
		{"output by nothing", leadRig + "output 1 by corrects roll", `13: found "corrects", want one of aileron,`},
		{"output number", leadRig + "output 17 by aileron 100%", `13: found "17", want the output's number, a whole number from 1 to 16`},
		{"output twice", leadRig + "output 1 by aileron 100%\noutput 1 by aileron 50%", `14: found output 1 again, want each output once; line 13 has it`},
		{"channel twice in a mix", leadRig + "output 1 by aileron 50% aileron 50%", `13: found the same channel twice`},
		{"no weight", leadRig + "output 1 by aileron 0%", `13: found a weight of nothing`},
		{"corrects without an axis", leadRig + "output 1 by aileron 100% corrects " +
			"roll", `13: found corrects roll, want the axis and its stick first, such as "axis roll CHANNEL left WIDTH"`},
		{"corrects beside its mix", leadRig + "axis roll aileron left 988\noutput 1 by beat 100% corrects roll",
			`14: found corrects roll by an output that its stick does not move`},
		{"limits", leadRig + "output 1 by aileron 100% limits 1600 2000", `13: found a neutral outside the limits`},
		{"output's pace", leadRig + "output 1 by aileron 100% every 2ms", `13: found "2ms", want the time from pulse to pulse`},
		{"output's loss", leadRig + "output 1 by aileron 100% loss goes", `13: found "goes", want one of follows, stops, holds`},
		{"fault of no output", leadRig + "fault servo 1", `13: found "1", want an output declared above; there is none yet`},
		{"correction of nothing", leadRig + "output 1 by aileron 100%\nfault correction all 0%",
			`14: found a fault of the stabiliser, want an output that corrects an axis above`},
		{"limits that fall", leadRig + "output 1 by aileron 100%\nfault limits 1 1800 1200", `14: found limits that do not rise`},
		{"tilt", leadRig + "0s tilt roll 91 over 1s", `13: found "91", want how far in degrees, a whole number from -90 to 90`},
		{"tilt about nothing", leadRig + "0s tilt left 20 over 1s", `13: found "left", want one of roll, pitch, yaw`},
		{"after the end", simtest.Rig + "1s end\n2s signal on", `13: found "2s", want nothing after the end step`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := script.Parse("x.script", []byte(c.text))
			var mistake *script.Mistake
			require.ErrorAs(t, err, &mistake)
			assert.True(t, strings.HasPrefix(err.Error(), "x.script:"+c.want), "got %v, want %s", err, c.want)
		})
	}
}

// leadRig is the simtest.Rig with a board.
const leadRig = simtest.Rig + "board leads of main\n"

func TestParseTakes(t *testing.T) {
	s := simtest.Parse(t, "# a comment\r\n\r\nscale 0 760 1024 1520\npackets every 11ms # pace\n"+simtest.Rig+
		"heartbeat beat 1000 2000 every 10s\npreset main aileron 1200\nlink main loss 0.2% burst 3\n"+
		"wire rear noise 3 damage 0.1% missing 1%\nadapter rear clump 16ms\nadapter rear none\n"+
		"0s signal on\n0s signal off rear\n1.5s press teach for 300ms\n1m stir aileron for 2s\n2m end\n")
	assert.Equal(t, []string{"main", "rear"}, s.TapNames())
	assert.Equal(t, 120*second, world.New(&s.Plan, 1).Length())
}

func TestLoadReadsADisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "own.script")
	require.NoError(t, os.WriteFile(path, []byte(simtest.Rig+"1s ende\n"), 0o600))
	_, err := script.Load(path)
	require.ErrorContains(t, err, `own.script:12: found "ende"`)
	_, err = script.Load(path + ".none")
	require.ErrorIs(t, err, os.ErrNotExist)
}

func FuzzParse(f *testing.F) {
	for _, name := range script.Names() {
		text, err := os.ReadFile(filepath.Join("scripts", name+".script"))
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Add(simtest.Rig + "heartbeat beat 1000 2000 every 10s\nwire main noise 9 damage 3% missing 1%\n0s signal on\n1s press teach for 1s\n2s end")
	f.Add(simtest.Model + "receiver main preset\nfault slew inner 1s\nfault lags outer 1s\nfault memory gain 1500\nfault mix " +
		"aileron elevator -9%\nfault spike gain 988 every 1s for 3 frames\n1s cut on\n1s hiccup main for 1s\n2s release aileron\n3s end")
	for _, k := range script.Receivers() {
		f.Add(simtest.Model + k.Setup + "0s signal on\n1s inner front\n2s signal off\n4s power main off\n5s power main on\n6s signal on\n7s end")
	}
	f.Add(leadRig + "servos together jitter 1us\naxis roll aileron left 988\ngyro gain 50%\ngyro level when inner 0 3000\n" +
		"output 1 by aileron -50% corrects roll every 3ms loss stops\n" +
		"fault correction all 3% at 1\nfault gain roll 20 every 300ms\nfault pause 1 every 1s for 50ms\n0s signal on\n1s tilt roll " +
		"20 over 300ms\n2s restart leads\n3s unplug leads\n4s plug leads\n5s end")
	f.Add(simtest.Rig + "phase inner front aileron 40\ntremble aileron every 100ms..2s\n0s signal on\n1s slam aileron 2012 over " +
		"60ms for 1s\n2s rate aileron at 60%\n3s stir aileron for 3s\n4s pause aileron for 1s\n5s mute main for 1s\n5s stall for " +
		"1s\n6s garble main 2 frames flags lost aileron 988\n7s end")
	f.Add("channel 1 a 1500\nchannel 2 b 1500\nreceiver main hold always lost\ngate round a b\n0s circle a b every 1s for 2s\n3s end")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := script.Parse("fuzz.script", []byte(text))
		if err != nil {
			var mistake *script.Mistake
			require.ErrorAs(t, err, &mistake)
			return
		}
		sim, last := world.New(&s.Plan, 1), int64(0)
		if sim.Length() > 10*second {
			return
		}
		for d, ok := sim.Next(); ok; d, ok = sim.Next() {
			require.GreaterOrEqual(t, d.At, last)
			last = d.At
		}
	})
}
