package claim

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
)

// What the builder reads of how a phone lies on the model.
const (
	liesAsSaid    = "the phone lies on the model as the sheet says, and sees its tilts the right way round"
	layingShown   = "tail, left wing and nose were raised, and the phone saw each as asked for"
	layingMoved   = "the phone slid, fell, was taken off or was not heard since: do the drill laying again before its tilts count"
	phoneOnlyThen = "; until then tilts rest on what is said by hand"
)

// laying judges whether a phone lies on the model as the sheet says. What disagrees is asked
// about and proves nothing either way: a phone the wrong way round and a nose raised for a tail
// look the same.
type laying struct{}

func newLaying(b *Book) *laying {
	b.add(FamilyLaying.of("phone"), liesAsSaid, drilled(drill.Laying))
	return &laying{}
}

func (l *laying) see(e *event.Event, b *Book) {
	id := FamilyLaying.ID("phone")
	switch d := e.Data.(type) {
	case event.TiltLaidData:
		if d.Agrees {
			b.right(id, layingShown, event.Span{From: e.From, To: e.At}, map[string]int64{"doubt_cdeg": d.Raised[0].DoubtCdeg})
		} else {
			b.doubt(id, d.Why+phoneOnlyThen)
		}
	case event.TiltTroubleData:
		if d.Why == event.TiltJumped {
			b.doubt(id, layingMoved)
		}
	case event.TiltSilentData:
		b.doubt(id, layingMoved)
	}
}
