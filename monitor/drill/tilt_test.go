package drill_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheResponseDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "response")
	require.Len(t, list, 17)
	assert.Equal(t, []string{
		"response/damping/1/set: put inner to back",
		"response/damping/1/count: put the transmitter down and take the model in both hands, level and still; on the third " +
			"count briskly raise the tail by about 30 degrees and hold it there",
		"response/damping/1/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"response/damping/1/level: put the model back level and still",
		"response/plain/1/set: put inner to middle",
	}, list[:5])
	assert.Equal(t, []string{
		"response/upright/1/set/way/1/outer/back: put outer to back",
		"response/upright/1/set: put inner to front (outer stays at back)",
	}, list[8:10], "one switch at a time, and not by way of another mode")
}

// The axis that is tilted is the easiest one that is corrected.
func TestTheResponseDrillTiltsWhatIsCorrected(t *testing.T) {
	noPitch := []string{"    corrects: [pitch]\n", "    corrects: []\n"}
	noRoll := []string{"    corrects: [roll]  ", "    corrects: []  "}
	noYaw := []string{"    corrects: [yaw]\n", "    corrects: []\n"}
	for want, changes := range map[string][]string{
		"raise the tail": nil, "raise the left wing": noPitch, "jerk the nose to the left": append(noPitch, noRoll...),
	} {
		assert.Contains(t, prompts(t, starter(t, changes...), "response")[2], want)
	}
	none := append(append(noPitch, noRoll...), noYaw...)
	assert.NotContains(t, names(starter(t, none...)), "response", "nothing is corrected")
	assert.NotContains(t, names(starter(t, none...)), "correction")
	deaf := starter(t, "  leads:                      # the servo leads; remove these two lines if you don't tap them\n",
		"", "    kind: pulses              # pulses has no \"carries\"\n", "")
	require.False(t, deaf.HasLeads())
	assert.NotContains(t, names(deaf), "response", "nobody listens to the leads")
	assert.NotContains(t, names(deaf), "correction")
}

func TestTheCorrectionDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "correction")
	require.Len(t, list, 2+3*9)
	assert.Equal(t, []string{
		"correction/mode/way/1/inner/front: put inner to front",
		"correction/mode: put outer to back (inner stays at front)",
		"correction/pitch/stick: hold the right stick fully back, towards you (elevator)",
		"correction/pitch/home: let the right stick go back to its centre (elevator)",
		"correction/roll/stick: hold the right stick fully to the left (aileron)",
		"correction/roll/home: let the right stick go back to its centre (aileron)",
		"correction/yaw/stick: hold the left stick fully to the right (rudder)",
		"correction/yaw/home: let the left stick go back to its centre (rudder)",
		"correction/pitch/count: put the transmitter down and take the model in both hands, level and still; on the third " +
			"count briskly raise the tail by about 30 degrees and hold it there",
		"correction/pitch/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level: put the model back level and still",
		"correction/pitch/count-2: on the third count briskly raise the nose by about 30 degrees and hold it there",
		"correction/pitch/other: now: briskly raise the nose by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level-2: put the model back level and still",
		"correction/roll/count: on the third count briskly raise the left wing by about 30 degrees and hold it there",
	}, list[:15])
	assert.Equal(t, "correction/yaw/there: now: jerk the nose to the left by about 30 degrees, once, and hold it there "+
		"(an Enter says that it was tilted)", list[21])
	assert.Equal(t, []string{
		"correction/pitch/eye: hold the right stick fully back, towards you (elevator) and look: Enter if the elevator, or " +
			"what serves as one, goes up; q if not, then reverse the servo, or the output, and begin anew",
		"correction/roll/eye: hold the right stick fully to the left (aileron) and look: Enter if the left aileron, or what " +
			"serves as one, goes up and the right one down; q if not, then reverse the servo, or the output, and begin anew",
		"correction/yaw/eye: hold the left stick fully to the right (rudder) and look: Enter if the rudder, or what serves " +
			"as one, goes to the right; q if not, then reverse the servo, or the output, and begin anew",
	}, list[26:])
}

// Where answers stay they are the easiest to see; else a kick must do.
func TestTheModeOfTheCorrectionDrill(t *testing.T) {
	first := func(changes ...string) string { return prompts(t, starter(t, changes...), "correction")[0] }
	noStay := []string{"      does: stays\n", ""}
	noReturn := []string{"      does: returns\n", ""}
	unwanted := []string{"      wanted_at: [{inner: front, outer: back}]             # so both positions belong here\n", ""}
	assert.Equal(t, "correction/mode: put inner to back", first(noStay...))
	assert.Equal(t, "correction/mode: put inner to back", first(unwanted...), "no position is known to bring it about")
	assert.Contains(t, first(append(noStay, noReturn...)...), "correction/pitch/stick", "nobody says what any mode does")
}

// An axis without a stick of that name can't be compared with anything.
func TestAnAxisWithoutItsStickIsLeftOut(t *testing.T) {
	s := starter(t, "ends: {left: 988, right: 2012}    # the two", "ends: {port: 988, starboard: 2012}    # the two")
	for _, p := range prompts(t, s, "correction") {
		assert.NotContains(t, p, "/roll/")
	}
}
