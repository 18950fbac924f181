package world

import "benchproof.example/decode/bus"

// FlagSet are flags of a frame that speak of the link: frame lost, failsafe, both or none.
type FlagSet uint8

// The flags that speak of the link.
const (
	NoFlags      = FlagSet(0)
	LostFlag     = FlagSet(bus.Lost)
	FailsafeFlag = FlagSet(bus.Failsafe)
	BothFlags    = LostFlag | FailsafeFlag
)

func (f FlagSet) String() string {
	return map[FlagSet]string{NoFlags: "none", LostFlag: "lost", FailsafeFlag: "failsafe", BothFlags: "both"}[f&BothFlags]
}
