package claim

// What the builder reads of a loss.
const (
	wentOnMoving = "nothing was lost: values went on moving and no flag came; another transmitter or a second " +
		"transmitter module still sends, a second receiver feeds this bus, or the transmitter was not off"
	backBeforeActing = "the signal was back after %s, sooner than the sheet wants the receiver to have done anything: " +
		"what it does was not seen"
	presetsAskForOtherMode = "without a signal the bus asks for %s, the sheet wants %s: set the failsafe of the mode " +
		"channels anew"
	presetsMayNotBeSent = "the link had been up for only %s: presets that live in the transmitter may not have been " +
		"sent by then; see it once more after two minutes"
	foldedToNoGain = "%s stands at %s, the middle of a gain that is folded about it: without a signal the stabiliser " +
		"does nothing at all"
	presetMirrored = "%s stands where the sheet wants it, mirrored: the channel may have been reversed after its " +
		"failsafe was set; set it again"
	throttleBeyondCut = "%s %s, at its cut or beyond, which stops a motor; the sheet wants that it %s: set the failsafe " +
		"of channel %d anew, or the sheet"
	motorCouldRun = "%s %s; the sheet wants that it %s: a motor could run with nobody to stop it. Set the failsafe of " +
		"channel %d to cut, with throttle cut on"
	switchCouldStart = "%s %s, which is not where it rests: without a signal it may start what its switch starts. Set " +
		"the failsafe of channel %d to rest"
	presetElsewhere = "%s %s; the sheet wants that it %s: set the failsafe of channel %d anew, in the receiver or where " +
		"the transmitter keeps it"
	valuesRestedLate = "the values came to rest %s after the last live frame, the sheet wants %s"
	presetsAfterFlag = "the last values were held for %s after the flag before the presets came"
	controlNeverBack = "control did not come back: see whether the transmitter warns about sticks or switches away from " +
		"home, whether it sends at all, and whether the receiver has to be switched off and on"
	controlBackLate = "control came back only %s after the transmitter was said to be on: were sticks and switches " +
		"home? Some transmitters send nothing before; if they were, the receiver is slow to find it again"
	silentInsteadOfFlag = "the receiver falls silent instead of setting the failsafe flag, which the sheet requires; if " +
		"that is how it is, say flag: absent in the sheet"
	failsafeFlagLate = "the failsafe flag came %s after the last live frame, the sheet wants %s: shorten the receiver's " +
		"delay, if it has one"
	lostFlagsOnly = "the receiver flags frames as lost but never sets the failsafe flag: what waits for that flag will " +
		"never see a loss; if the receiver can't do better, say flag: optional in the sheet"
	noFlagAtAll = "no flag came at all: such a loss looks like a transmitter that nobody touches, or like a second one " +
		"that still sends: see that there is none. If the receiver can't do better, say flag: absent in the sheet"
	nothingShowedTheLoss = "it could not be told whether the signal was lost: either the transmitter was not switched " +
		"off, or the receiver hides the loss, sets no flag and leaves each value where it stood. See that it is really " +
		"off, and move a stick round and round while you switch it off; or send a slow sawtooth on a spare channel and " +
		"name it as heartbeat in the sheet"
	noHeartbeatBrokeOff = "it could not be told whether the signal was lost: either the transmitter was not switched " +
		"off, or the receiver hides the loss, sets no flag and leaves each value where it stood. No heartbeat was seen " +
		"to break off, which would tell the two apart: see that the transmitter is really off, and that before that its " +
		"sawtooth is on the heartbeat's channel and moves"
	stoodWherePresetsMayBe = "it could not be told whether the receiver holds or goes to presets: everything stood " +
		"where its preset may be. Put sticks and switches visibly away from their presets before the transmitter goes off"
)
