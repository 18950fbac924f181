package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of another model memory.
const (
	memoryWanted = "while another model's memory is selected in the transmitter, nothing of this model moves"
	memoryMoved  = "with the memory %q selected, the receiver followed it: %s; have transmitter and receiver tell memories apart (a receiver " +
		"number or model match for each memory), and bind this model in its own memory"
	memoryRefused = "with the memory %q selected, as was typed, the receiver heard no transmitter for %s and nothing moved; that it sent " +
		"meanwhile is not on the wire"
	memorySilent = "with the memory %q selected, as was typed, the receiver sent nothing on the bus, and nothing moved; that the transmitter sent " +
		"meanwhile is not on the wire"
	memoryUnnamed  = "nobody typed which memory was selected: do the drill again, and type the name that the transmitter shows"
	memoryNotBack  = "that this model answers again was not seen, so whether another memory had been selected is not known: do the drill again"
	memoryNotShown = "the receiver heard its transmitter and %s, but nothing on the bus shows that another memory was selected, and this model's " +
		"again: no link was gone and no channels leapt; look at what the transmitter shows, and do the drill again"
	memoryBetween = "the receiver heard a transmitter for a part of the time only in which sticks were moved, and %s: another memory may have " +
		"been selected by then, or this model's again; do the drill again, and select nothing before it is asked for"
	memoryStood = "the receiver went on hearing a transmitter and nothing moved: it may hold its last values without a flag, or nobody moved a " +
		"stick; which can't be told: look at the surfaces"
	memoryDrifts = "without a transmitter %s: wait until the receiver has come to rest, and do the drill again"
)

// How far something goes that follows a stick, ns, and at most what stands: a servo output trembles.
const (
	movedByMemory = 100_000
	stoodInMemory = 15_000
)

// otherMemory judges that the receiver hears this model's memory alone. Who only says that another one was selected,
// and goes on with this model's, accuses nobody: the bus must show that memories changed, both ways.
type otherMemory struct {
	Name    string      `json:"name"`    // that was typed
	Outputs []outputRan `json:"outputs"` // how far they went while sticks were moved
	Back    bool        `json:"back"`    // this model answered at the end

	sheet *sheet.Sheet
}

// outputRan is how far an output went.
type outputRan struct {
	Output int        `json:"output"`
	FarNS  unit.Width `json:"far_ns"`
}

func newOtherMemory(b *Book) *otherMemory {
	b.add(FamilyMemory.of("other"), memoryWanted, Action{Do: DoDrill, Drill: drill.OtherMemory}, TopicFailsafe)
	return &otherMemory{sheet: b.sheet}
}

func (m *otherMemory) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillAnsweredData:
		plan, ask := b.drills.Asked(d.Prompt)
		if plan.Memory {
			m.answered(ask.Act, &d)
		}
	case event.MemoryTriedData:
		m.judge(&d, event.Span{From: e.From, To: e.At}, b)
	}
}

func (m *otherMemory) answered(act drill.Act, d *event.DrillAnsweredData) {
	switch act {
	case drill.ActSelect:
		m.Name, m.Outputs, m.Back = d.Words, nil, false
	case drill.ActTry:
		for i := range d.Outputs {
			o := &d.Outputs[i]
			m.Outputs = append(m.Outputs, outputRan{o.Output, max(o.MostNS-o.LeastNS, 0)})
		}
	case drill.ActAnswer:
		m.Back = d.By == "wire"
	}
}

func (m *otherMemory) judge(d *event.MemoryTriedData, span event.Span, b *Book) {
	id := FamilyMemory.ID("other")
	what, far := m.farthest(d)
	figures := map[string]int64{"far_ns": int64(far), "live": d.Live, "frames": d.Frames}
	went := fmt.Sprintf("%s went by %s", what, unit.FormatWidth(far))
	switch {
	case m.Name == "":
		b.unclear(id, memoryUnnamed)
	case !m.Back:
		b.unclear(id, memoryNotBack)
	case d.Live > 0 && far < movedByMemory:
		b.unclear(id, memoryStood)
	case d.Changed:
		b.unclear(id, fmt.Sprintf(memoryBetween, went))
	case d.Live > 0 && !(d.Left && d.Returned):
		b.unclear(id, fmt.Sprintf(memoryNotShown, went))
	case d.Live > 0:
		b.wrong(id, fmt.Sprintf(memoryMoved, m.Name, went), span, figures)
	case far > stoodInMemory:
		b.unclear(id, fmt.Sprintf(memoryDrifts, went))
	case d.Frames == 0:
		b.right(id, fmt.Sprintf(memorySilent, m.Name), span, figures)
	default:
		b.right(id, fmt.Sprintf(memoryRefused, m.Name, unit.FormatDuration(span.To.Sub(span.From))), span, figures)
	}
}

// farthest is what went farthest while sticks were moved: a channel of the sheet, or an output.
func (m *otherMemory) farthest(d *event.MemoryTriedData) (what string, far unit.Width) {
	what = "nothing"
	for i := range m.sheet.Channels {
		c := &m.sheet.Channels[i]
		if c.Number > len(d.Channels) {
			continue
		}
		if r := &d.Channels[c.Number-1]; r.MostNS-r.LeastNS > far {
			what, far = c.Name, r.MostNS-r.LeastNS
		}
	}
	for _, o := range m.Outputs {
		if o.FarNS > far {
			what, far = fmt.Sprintf("output %d", o.Output), o.FarNS
		}
	}
	return what, far
}
