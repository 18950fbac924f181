package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// propped judges what a mode holds whose answers stay, and in which attitude it corrects nothing.
type propped struct {
	limit int64 // millidegrees
}

func newPropped(b *Book) *propped {
	p := &propped{limit: b.sheet.Stabiliser.LevelLimit()}
	stays := func(do func(m *sheet.Mode)) {
		for i := range b.sheet.Stabiliser.Modes {
			if m := &b.sheet.Stabiliser.Modes[i]; m.Does == sheet.DoesStay && len(m.WantedAt) > 0 {
				do(m)
			}
		}
	}
	settle := drilled(drill.Degrees)
	if b.sheet.Off() == nil {
		return p
	}
	stays(func(m *sheet.Mode) {
		if _, ok := b.drills.Asks(drill.Degrees, drill.ActEnter, m.Name); ok && b.sheet.Measures(sheet.MeasureDegrees) {
			b.add(FamilyEntered.of(m.Name), fmt.Sprintf(claimsEntry, text.ModeName(m.Name)), settle, tiltTopics(b)...)
		}
	})
	if !b.sheet.Measures(sheet.MeasureLevel) {
		return p
	}
	stays(func(m *sheet.Mode) {
		for _, axis := range []string{sheet.Pitch, sheet.Roll} {
			if _, _, ok := b.sheet.Reference(axis); ok && len(b.sheet.Corrected(axis)) > 0 {
				b.add(FamilyLevel.of(m.Name, axis), fmt.Sprintf(claimsLevel, text.ModeName(m.Name), axis, event.Degrees(p.limit)), settle, tiltTopics(b)...)
			}
		}
	})
	return p
}

func (p *propped) see(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.EntryMeasuredData:
		p.entered(&d, span, b)
	case event.LevelMeasuredData:
		p.level(&d, span, b)
	}
}

func (*propped) entered(d *event.EntryMeasuredData, span event.Span, b *Book) {
	id, mode, way := FamilyEntered.ID(d.Mode), text.ModeName(d.Mode), event.FormatAngle(d.Axis, d.AngleMDeg)
	seen, expected := unit.FormatWidth(unit.Abs(d.SeenNS)), unit.FormatWidth(unit.Abs(d.ExpectedNS))
	figures := map[string]int64{"seen_ns": int64(d.SeenNS), "expected_ns": int64(d.ExpectedNS)}
	switch {
	case d.Why != "":
		b.unclear(id, fmt.Sprintf(entryOpen, mode, d.Why))
	case d.Holds == event.HoldsAttitude:
		b.right(id, fmt.Sprintf(holdsAttitude, mode, way, seen), span, figures)
	case d.Holds == event.HoldsCourse:
		b.right(id, fmt.Sprintf(holdsCourse, mode, way, seen, expected), span, figures)
	default:
		b.unclear(id, fmt.Sprintf(entryUnsure, mode, way, seen, expected))
	}
}

func (p *propped) level(d *event.LevelMeasuredData, span event.Span, b *Book) {
	id, mode := FamilyLevel.ID(d.Mode, d.Axis), text.ModeName(d.Mode)
	if d.Why != "" {
		b.unclear(id, fmt.Sprintf(levelOpen, mode, d.Axis, d.Why))
		return
	}
	is := []any{mode, text.ModeName(d.Off), event.FormatAngle(d.Axis, d.LevelMDeg), event.Degrees(d.WithinMDeg), d.BiasText()}
	figures := map[string]int64{"level_mdeg": d.LevelMDeg, "within_mdeg": d.WithinMDeg, "dead_mdeg": d.DeadMDeg}
	switch off := unit.Abs(d.LevelMDeg); {
	case off+d.WithinMDeg <= p.limit:
		b.right(id, fmt.Sprintf(levelIs, is...), span, figures)
	case off-d.WithinMDeg > p.limit:
		b.wrong(id, fmt.Sprintf(levelOff, append(is, event.Degrees(p.limit))...), span, figures)
	default:
		b.unclear(id, fmt.Sprintf(levelUnsure, append(is, event.Degrees(p.limit))...))
	}
}
