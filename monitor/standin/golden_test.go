package standin_test

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/standin"
)

// What scripts and kinds of receiver without servo leads gave before there were
// any: all that is new draws its chances from streams of its own.
var golden = map[string]string{
	"clumped":                       "12abfcb7efd8d606",
	"faulty-clip":                   "324a38cde6651704",
	"faulty-combo":                  "0286c6bf708141b4",
	"faulty-cut":                    "1c76319e9bfaf0a8",
	"faulty-extra":                  "c6a3708a0aef3b98",
	"faulty-hiccup":                 "ad8c1132fb762b0e",
	"faulty-lags":                   "b926c08775238980",
	"faulty-lands":                  "33b035c7b4d7db7e",
	"faulty-margin":                 "6587f25cd5f70230",
	"faulty-memory":                 "7a75b63ea00c4f66",
	"faulty-mix":                    "69a2e461475cce2f",
	"faulty-offset":                 "d461fa24925f4813",
	"faulty-range":                  "9faf9678a46fae9c",
	"faulty-rest":                   "a85567b6e8f64271",
	"faulty-reverse":                "477af73a65a9c07b",
	"faulty-scale":                  "8b113870c85b81e2",
	"faulty-slew":                   "506ef07462981bb0",
	"faulty-spike":                  "2b9a17e5d627fc62",
	"faulty-stuck":                  "d63ad41b7ec47857",
	"faulty-swap":                   "ef7ff2e1302550b3",
	"faulty-trim":                   "b4207a1619d44ed1",
	"good":                          "0f7d6e32d43e3173",
	"hold":                          "7e4430e4ed5d07e1",
	"silent":                        "51366389e11c48c0",
	"two":                           "d24fcdc6defe7951",
	"unflagged":                     "1758886e98c7a290",
	"receiver gain-zero":            "1b3cb34ab0a78ab2",
	"receiver hold":                 "9f14a347549e718b",
	"receiver hold-flagged-late":    "e8d874dbe50dc24b",
	"receiver hold-unflagged":       "06b95382653095ad",
	"receiver learn-pressed":        "531a2d6d184bc20e",
	"receiver mirrored-gain":        "097a5b0cdda4146c",
	"receiver mirrored-throttle":    "523a55a0d114aa2e",
	"receiver mixed":                "a10c9b39a8e26a27",
	"receiver mixed-unflagged":      "50274633b4e3264c",
	"receiver mode-elsewhere":       "c811f697ce17d54b",
	"receiver preset":               "43739ac11819aac5",
	"receiver preset-failsafe-only": "cda567086eae2dcc",
	"receiver preset-flagged-late":  "bfe41b1d47186f67",
	"receiver preset-held-first":    "cd9785c7ec8923d5",
	"receiver preset-lost-only":     "61e986b5c4f00612",
	"receiver preset-ramp":          "304e62e9157dd93a",
	"receiver preset-unflagged":     "47741c55a3f295ea",
	"receiver regain-late":          "d103f3c54f2c216f",
	"receiver regain-never":         "43739ac11819aac5",
	"receiver second-follows":       "0ff917d619afe06a",
	"receiver second-holds":         "0ff917d619afe06a",
	"receiver second-moves":         "7b8ccb08bc0f39bb",
	"receiver second-rests":         "d0d442a125ec503d",
	"receiver silent":               "f08b608a064557e0",
	"receiver silent-flagged":       "0aaa4d46aa4b95f4",
	"receiver silent-unflagged":     "c80a3d93ec8a61b2",
	"receiver stabilised":           "4ff736be2e6fbe6c",
	"receiver stabilised-always":    "136be324d7b2110c",
	"receiver takeover":             "f8d83a428d1ad941",
	"receiver taught":               "f027c45e4039fc96",
	"receiver throttle-above-cut":   "c9da57ba3ef89f9c",
	"receiver wakes-flagged":        "2ebf8a5f954fffaf",
	"receiver wakes-neutral":        "28b2d0dbdcab642f",
	"receiver wakes-silent":         "e61610aa69d0ad7e",
	"receiver wakes-unflagged":      "d0ab636742858a92",
	"receiver warning":              "5cadc860c4e8c9f1",
}

func TestBusesStayAsTheyWere(t *testing.T) {
	seen := map[string]string{}
	for _, name := range standin.Names() {
		if s := named(t, name); len(s.Taps()) == len(s.TapNames()) && s.Taps()[len(s.Taps())-1].Kind == standin.Bus {
			seen[name] = fingerprint(play(s, 7))
		}
	}
	const steps = "0s signal on\n2s sel-a front\n3s stick aileron 1800 over 300ms\n5s signal off\n9s power main off\n10s power main on\n11s signal on\n14s end"
	for _, k := range standin.Receivers() {
		seen["receiver "+k.Name] = fingerprint(run(t, wing+k.Setup+steps, 7))
	}
	assert.Equal(t, golden, seen)
}

// fingerprint is a hash of all that a play gives.
func fingerprint(h heard) string {
	sum := sha256.New()
	for _, d := range h.deliveries {
		_ = binary.Write(sum, binary.LittleEndian, []int64{d.At, int64(d.Tap), int64(d.Kind)})
		_ = binary.Write(sum, binary.LittleEndian, d.Bad)
		sum.Write(d.Data)
	}
	for _, f := range h.sim.Truth() {
		fmt.Fprintf(sum, "%d %s %s %s %d\n", f.At, f.Kind, f.About, f.To, f.Width)
		if f.Angle != 0 {
			fmt.Fprintln(sum, f.Angle)
		}
	}
	for _, p := range h.sim.Pulses() {
		fmt.Fprintln(sum, p)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
