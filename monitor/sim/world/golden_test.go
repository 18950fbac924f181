package world_test

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
)

// What the scripts of the demo and the kinds of receiver give, all of it, for one seed: what is
// new draws its chances from streams of its own, and changes nothing here.
var golden = map[string]string{
	"clumped":                       "80ad481674418b7d",
	"elevon":                        "649dc596cb6e273f",
	"faulty-blend":                  "11135999a7a0ea9d",
	"faulty-clip":                   "d7b2a704e5df1d6f",
	"faulty-combo":                  "843c457beff6ba8b",
	"faulty-correction":             "610629d0a6b7a92b",
	"faulty-cut":                    "85d1e319e5c7e91a",
	"faulty-dead":                   "49e73c3255f365da",
	"faulty-extra":                  "9ad4ebc497e3e6a0",
	"faulty-gain":                   "16eeb1ea3c9ef44e",
	"faulty-hiccup":                 "9d269400f1a018e8",
	"faulty-lags":                   "def646406929377e",
	"faulty-lands":                  "3eff16782a0c6c91",
	"faulty-limits":                 "926747754406b5ff",
	"faulty-loss":                   "43799413eb9a35de",
	"faulty-margin":                 "6ffc64c24ca712cb",
	"faulty-memory":                 "04ce6d454e5894ef",
	"faulty-mix":                    "837252274168df29",
	"faulty-offset":                 "8016fe38df909462",
	"faulty-pause":                  "d0ce731fa9674e72",
	"faulty-range":                  "370b511af231707f",
	"faulty-rest":                   "a83156ca10f2fa5a",
	"faulty-reverse":                "4867c55a24345453",
	"faulty-scale":                  "f6cd4a5d795a3f7d",
	"faulty-servo":                  "8c86b3ab894b7743",
	"faulty-shift":                  "19c4bc39a9a5d2df",
	"faulty-slew":                   "663b76b4efa17b09",
	"faulty-spike":                  "040a6c99caa07bdb",
	"faulty-stuck":                  "114429fed0e4cd15",
	"faulty-swap":                   "d56b476de52fbb87",
	"faulty-trim":                   "cc8c9be4ea15e2e8",
	"good":                          "1c65293d16907209",
	"hold":                          "7b1715d48bd8b6c3",
	"silent":                        "89b89ca3e226938e",
	"two":                           "b2f9e816a9071ae0",
	"unflagged":                     "c7e734d705148fe4",
	"vtail":                         "9d8c056054e8e304",
	"wing":                          "651217e7c8f8c324",
	"receiver gain-zero":            "c655fb2eb33fb372",
	"receiver hold":                 "8efbf5449b454db3",
	"receiver hold-flagged-late":    "462ea340097edca6",
	"receiver hold-unflagged":       "3a92afda9fee75df",
	"receiver learn-pressed":        "6be15a558359e0f2",
	"receiver mirrored-gain":        "af4d8b47ff390ce7",
	"receiver mirrored-throttle":    "fc52fd62505abef3",
	"receiver mixed":                "46dfa2ae98fa8bc3",
	"receiver mixed-unflagged":      "41552cf59feb4357",
	"receiver mode-elsewhere":       "b2f3761faf21b80b",
	"receiver preset":               "b92ff36fd5de1a72",
	"receiver preset-failsafe-only": "c4a27b4b268b2cf9",
	"receiver preset-flagged-late":  "85dd61b25b3964c3",
	"receiver preset-held-first":    "f5e233c1d63c5b63",
	"receiver preset-lost-only":     "62fefbd0f1d1c548",
	"receiver preset-ramp":          "4a3371345cfa7d83",
	"receiver preset-unflagged":     "9fa10b2368186244",
	"receiver regain-late":          "a659f5459cf53259",
	"receiver regain-never":         "b92ff36fd5de1a72",
	"receiver second-follows":       "a4dbd6ecd10a3d50",
	"receiver second-holds":         "a4dbd6ecd10a3d50",
	"receiver second-moves":         "4cce707812913fe6",
	"receiver second-rests":         "fa899ce8852f8e8e",
	"receiver silent":               "76ce383944df9c5a",
	"receiver silent-flagged":       "a4a1d37c6e3da6a7",
	"receiver silent-unflagged":     "38874f1f6ced77ee",
	"receiver stabilised":           "235b6378afbc5f6a",
	"receiver stabilised-always":    "304324ffdea5ad60",
	"receiver takeover":             "41caa8f3e1dafbd6",
	"receiver taught":               "f63b77a3291e9970",
	"receiver throttle-above-cut":   "9a3d041677554c80",
	"receiver wakes-flagged":        "0165774e924a735f",
	"receiver wakes-neutral":        "fab4ce29e1d90e05",
	"receiver wakes-silent":         "9ebcd230584d6ac4",
	"receiver wakes-unflagged":      "ddd285cfa84f170f",
	"receiver warning":              "e28f832db28cbc18",
}

func TestPlaysStayAsTheyWere(t *testing.T) {
	seen := map[string]string{}
	for _, name := range script.Names() {
		seen[name] = fingerprint(simtest.Play(simtest.Named(t, name), 7))
	}
	const steps = "0s signal on\n2s inner front\n3s stick aileron 1800 over 300ms\n5s signal off\n9s power main off\n10s power main on\n11s signal on\n14s end"
	for _, k := range script.Receivers() {
		seen["receiver "+k.Name] = fingerprint(simtest.Run(t, wing+k.Setup+steps, 7))
	}
	assert.Equal(t, golden, seen)
}

// fingerprint is a hash of all that a play gives.
func fingerprint(h simtest.Played) string {
	sum := sha256.New()
	for _, d := range h.Deliveries {
		_ = binary.Write(sum, binary.LittleEndian, []int64{d.At, int64(d.Tap), int64(d.Kind)})
		_ = binary.Write(sum, binary.LittleEndian, d.Bad)
		sum.Write(d.Data)
	}
	for _, f := range h.Sim.Truth() {
		fmt.Fprintf(sum, "%d %s %s %s %d\n", f.At, f.Kind, f.About, f.To, f.Width)
		if f.Angle != 0 {
			fmt.Fprintln(sum, f.Angle)
		}
	}
	for _, p := range h.Sim.Pulses() {
		fmt.Fprintln(sum, p)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
