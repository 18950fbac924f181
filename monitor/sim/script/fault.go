package script

import "benchproof.example/monitor/sim/world"

// faultKind is one kind of fault line. Those that bend nothing on the way to the
// link, but change the bench, read as nil.
type faultKind struct {
	word string
	read func(*parser) world.Fault
}

func faultKinds() []faultKind {
	return []faultKind{
		{"lands", (*parser).lands}, {"combo", (*parser).combo}, {"extra", (*parser).extra},
		{"slew", (*parser).slew}, {"lags", (*parser).lags},
		{"range", (*parser).rangeFault}, {"stuck", (*parser).stuck}, {"offset", (*parser).offset},
		{"clip", (*parser).clip}, {"scale", (*parser).scaleFault}, {"reverse", (*parser).reverse},
		{"swap", (*parser).swap}, {"mix", (*parser).mix}, {"memory", (*parser).memory},
		{"cut", (*parser).cutFault}, {"spike", (*parser).spike},
		{"correction", (*parser).correctionFault}, {"servo", (*parser).servoFault}, {"blend", (*parser).blendFault},
		{"limits", (*parser).limitsFault}, {"dead", (*parser).deadFault}, {"loss", (*parser).lossFault},
		{"pause", (*parser).pauseFault}, {"gain", (*parser).gainFault}, {"shift", (*parser).shiftFault},
	}
}

func (p *parser) fault() {
	kinds := faultKinds()
	words := make([]string, len(kinds))
	for i := range kinds {
		words[i] = kinds[i].word
	}
	kind := kinds[p.oneOf(words...)]
	if p.mistake != nil {
		return
	}
	if f := kind.read(p); f != nil && p.mistake == nil {
		p.script.Faults = append(p.script.Faults, f)
	}
}
