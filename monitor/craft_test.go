package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// gliders are the airframes, and one without a throttle.
func gliders() []airframe {
	return append(slices.Clone(airframes), airframe{"glider", `outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}, corrects: [roll]}
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw]}
`, `output 1 by aileron 100% corrects roll
output 2 by elevator 100% corrects pitch
output 4 by rudder 100% corrects yaw
`})
}

// craft is a model by a seed: as its sheet has it, and as the simulated bench.
type craft struct {
	airframe
	rng      *rand.Rand
	channels [4]int // of aileron, elevator, throttle, rudder
	levers   []lever
	cells    []cell
	beats    bool   // there is a heartbeat
	gain     string // "knob", "fixed", "receiver"
	teach    int    // the channel of limit learning
	receiver string // its line
	link     string // lines about its link, its wire and its adapters
	soak     soaking
	levels   bool // the receiver learns level on two sides
	rescue   bool // a switch rights the model, whatever the mode
}

// soaking is the long run that a craft's sheet declares, and its supply. It is drawn from
// nothing, so that seeds keep their models.
type soaking struct {
	rng     *rand.Rand
	section string // "": none is declared
	weak    bool   // the supply gives way where servos work
}

func newSoaking(seed uint64) soaking {
	k := soaking{rng: rand.New(rand.NewPCG(seed, 33))}
	if k.rng.IntN(2) == 0 {
		k.section = "soak: {receiver_supply: the regulator of the controller, at_most_one_in: 20h, missed_at_most: 1 %}\n"
		k.weak = k.rng.IntN(4) == 0
	}
	return k
}

// lever is a mode switch.
type lever struct {
	name   string
	number int
	names  []string
	widths []int64 // us
}

// cell is a combination of places, and the mode that they ask for.
type cell struct {
	at     []int  // a place of each lever
	name   string // "": none
	does   string // "": the sheet doesn't say
	gyro   string
	wanted bool
}

func newCraft(seed uint64) *craft {
	c := &craft{rng: rand.New(rand.NewPCG(seed, 31))}
	c.airframe = one(c.rng, gliders()...)
	order := c.rng.Perm(4)
	for i := range c.channels {
		c.channels[i] = order[i] + 1
	}
	c.beats, c.gain, c.teach = c.rng.IntN(2) == 0, one(c.rng, "knob", "knob", "fixed", "receiver"), one(c.rng, 12, 18)
	c.switches()
	c.modes()
	c.receiver = fmt.Sprintf("receiver main preset %s period %dms\n",
		one(c.rng, "", "after 500ms..1200ms", "flags failsafe", "ramp 200ms..400ms", "regain 300ms..1500ms"),
		one(c.rng, 7, 7, 9, 11, 14))
	c.link = one(c.rng, "", "", "adapter main clump 16ms\n", "wire main missing 0.3%\n")
	c.soak = newSoaking(seed)
	c.levels = rand.New(rand.NewPCG(seed, 35)).IntN(3) == 0
	c.rescue = rand.New(rand.NewPCG(seed, 34)).IntN(3) == 0 // seeds keep their models
	return c
}

// switches draws one switch of five or six places, or two of two or three places.
func (c *craft) switches() {
	if c.rng.IntN(3) == 0 {
		c.levers = []lever{newLever("dial", between(c.rng, 5, 8), between(c.rng, 5, 6))}
		return
	}
	second := newLever("outer", 11, between(c.rng, 2, 3))
	if len(second.names) == 2 && c.rng.IntN(2) == 0 {
		second.number = 17
	}
	c.levers = []lever{newLever("inner", between(c.rng, 6, 8), 3), second}
}

func newLever(name string, number, places int) lever {
	l := lever{name: name, number: number}
	names := map[int][]string{2: {"back", "front"}, 3: {"back", "middle", "front"}}[places]
	for i := range places {
		if l.names = names; names == nil {
			l.names = strings.Fields("p1 p2 p3 p4 p5 p6")[:places]
		}
		l.widths = append(l.widths, 988+int64(i)*1024/int64(places-1))
	}
	return l
}

// modes draws what each combination asks for: five to nine modes, or what there is
// room for. The first is where the switches rest.
func (c *craft) modes() {
	for n := range c.combinations() {
		at, rest := []int{}, n
		for _, l := range c.levers {
			at, rest = append(at, rest%len(l.names)), rest/len(l.names)
		}
		c.cells = append(c.cells, cell{at: at})
	}
	order := append([]int{0}, c.rng.Perm(len(c.cells)-1)...)
	for i := range order[1:] {
		order[i+1]++
	}
	for k, n := range order {
		x := &c.cells[n]
		x.does = map[int]string{0: sheet.DoesReturn, 1: sheet.DoesNothing, 2: sheet.DoesStay}[k]
		if x.wanted = k < 5 || c.often(60); k > 2 {
			x.does = one(c.rng, "", "", sheet.DoesReturn, sheet.DoesNothing, sheet.DoesStay)
		}
		if x.name = fmt.Sprintf("mode-%d", n); !x.wanted && c.often(50) {
			x.name = ""
		}
		x.gyro = map[string]string{sheet.DoesReturn: "rate", sheet.DoesNothing: "off", sheet.DoesStay: "level", "": one(c.rng, "rate", "off", "level")}[x.does]
	}
}

func (c *craft) combinations() int {
	n := 1
	for _, l := range c.levers {
		n *= len(l.names)
	}
	return n
}

func (c *craft) often(percent int) bool { return c.rng.IntN(100) < percent }

// doing is the first cell whose mode does that.
func (c *craft) doing(what string) *cell {
	i := slices.IndexFunc(c.cells, func(x cell) bool { return x.does == what && x.wanted })
	return &c.cells[i]
}

// throttled says whether there is a motor.
func (c *craft) throttled() bool { return c.name != "glider" }

// home are the steps that put knob and switches where they rest.
func (c *craft) home() (list []string) {
	for _, l := range c.levers {
		list = append(list, l.name+" "+l.names[0])
	}
	if c.gain == "knob" {
		list = append(list, "stick gain 1756 over 400ms")
	}
	if c.throttled() {
		list = append(list, "cut off")
	}
	return list
}

// window is where a place of a lever counts, us.
func (l *lever) window(place int) (from, to int64) {
	from, to = 0, 3000
	if place > 0 {
		from = (l.widths[place-1] + l.widths[place]) / 2
	}
	if place < len(l.widths)-1 {
		to = (l.widths[place] + l.widths[place+1]) / 2
	}
	return from, to
}

// text is the sheet.
func (c *craft) text() string {
	var b strings.Builder
	b.WriteString("sheet: 1\nmodel: Craft\nsticks: 2\ntaps:\n  main: {kind: bus, carries: heard}\n  leads: {kind: pulses}\n" +
		"scale: {counts: [172, 1811], us: [988, 2012]}\ntolerance: {position: 12 us, preset: 12 us, neutral: 8 us}\nchannels:\n")
	fmt.Fprintf(&b, "  %d: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n", c.channels[0])
	fmt.Fprintf(&b, "  %d: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}\n", c.channels[1])
	if c.throttled() {
		fmt.Fprintf(&b, "  %d: {name: throttle, kind: throttle, drives: motor, cut: 988, idle: 1010, full: 2012}\n", c.channels[2])
	}
	fmt.Fprintf(&b, "  %d: {name: rudder, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n", c.channels[3])
	b.WriteString(map[string]string{"knob": "  9: {name: gain, kind: knob, ends: {anticlockwise: 1500, clockwise: 2012}}\n",
		"fixed": "  9: {name: gain, kind: fixed, value: 1756}\n"}[c.gain])
	for _, l := range c.levers {
		var places []string
		for i, name := range l.names {
			places = append(places, fmt.Sprintf("%s: %d", name, l.widths[i]))
		}
		fmt.Fprintf(&b, "  %d: {name: %s, kind: switch, positions: {%s}}\n", l.number, l.name, strings.Join(places, ", "))
	}
	if c.rescue {
		b.WriteString("  10: {name: rescue, kind: momentary, rest: 988, pressed: 2012}\n")
	}
	fmt.Fprintf(&b, "  %d: {name: teach, kind: momentary, rest: 988, pressed: 2012}\n", c.teach)
	if c.gain == "receiver" {
		b.WriteString("gain: {law: in-receiver}\n")
	} else {
		b.WriteString("gain: {channel: gain, law: one-sided, zero: 1500, full: 2012}\n")
	}
	c.stabiliser(&b)
	b.WriteString("gestures:\n  limit-learning: {channel: teach, from: rest, to: pressed, times: 2, within: 5s, allowed: in-drill}\n")
	c.failsafe(&b)
	b.WriteString(c.sheet)
	if c.beats {
		b.WriteString("heartbeat: {channel: 16}\n")
	}
	b.WriteString("link: {missed_at_most: \"0.1 %\"}\n" + c.soak.section)
	if c.levels {
		b.WriteString(levelling)
	}
	return b.String()
}

func (c *craft) stabiliser(b *strings.Builder) {
	b.WriteString("stabiliser:\n  windows: {from: manual}\n  modes:\n")
	for _, x := range c.cells {
		if x.name == "" {
			continue
		}
		var windows, places []string
		for i, l := range c.levers {
			from, to := l.window(x.at[i])
			windows = append(windows, fmt.Sprintf("%s: [%d, %d]", l.name, from, to))
			places = append(places, l.name+": "+l.names[x.at[i]])
		}
		fmt.Fprintf(b, "    %s:\n      when: [{%s}]\n", x.name, strings.Join(windows, ", "))
		if x.wanted {
			fmt.Fprintf(b, "      wanted_at: [{%s}]\n", strings.Join(places, ", "))
		}
		if x.does != "" {
			fmt.Fprintf(b, "      does: %s\n", x.does)
		}
	}
	if c.rescue {
		b.WriteString("  righting: {channel: rescue, when: pressed}\n")
	}
	b.WriteString("  margin: 60 us\n")
}

func (c *craft) failsafe(b *strings.Builder) {
	b.WriteString("failsafe:\n  flag: required\n  within: 1.7s\n  heard:\n    default: hold\n    teach: rest\n")
	if c.rescue {
		b.WriteString("    rescue: rest\n")
	}
	for i, l := range c.levers {
		fmt.Fprintf(b, "    %s: %s\n", l.name, l.names[c.doing(sheet.DoesNothing).at[i]])
	}
	if c.throttled() {
		b.WriteString("    throttle: {at_most: 1000}\n")
	}
	if c.gain == "knob" {
		b.WriteString("    gain: 1756\n")
	}
	b.WriteString("  leads:\n    default: follows\n")
	if c.throttled() {
		b.WriteString("    motor: stops\n")
	}
}

// bench is the simulated one, with the settings of faults in it.
func (c *craft) bench(f *broken) string {
	var b strings.Builder
	fmt.Fprintf(&b, "hands varied\nchannel %d aileron 1500\nchannel %d elevator 1500\n", c.channels[0], c.channels[1])
	if c.throttled() {
		fmt.Fprintf(&b, "channel %d throttle 1010 stops 1010 2012\ncutoff throttle 988\n", c.channels[2])
	}
	fmt.Fprintf(&b, "channel %d rudder 1500\n", c.channels[3])
	if c.gain != "receiver" {
		b.WriteString("channel 9 gain 1756 stops 1500 2012\n")
	}
	for _, l := range c.levers {
		fmt.Fprintf(&b, "channel %d %s %d\n", l.number, l.name, l.widths[0])
		for i, name := range l.names {
			fmt.Fprintf(&b, "place %s %s %d\n", l.name, name, l.widths[i])
		}
	}
	if c.rescue {
		b.WriteString("channel 10 rescue 988\nplace rescue rest 988\nplace rescue pressed 2012\n")
	}
	fmt.Fprintf(&b, "channel %d teach 988\nplace teach rest 988\nplace teach pressed 2012\n", c.teach)
	if c.beats {
		b.WriteString("channel 16 beat 1500\nheartbeat beat 1200 1800 every 2s\n")
	}
	b.WriteString(c.receiver + c.link + c.presets(f) + f.transmitter)
	b.WriteString("board leads of main\naxis roll aileron left 988\naxis pitch elevator back 2012\naxis yaw rudder right 2012\n")
	b.WriteString(map[string]string{"knob": "gyro gain gain none 1500 full 2012\n",
		"fixed": "gyro gain gain none 1500 full 2012\n", "receiver": "gyro gain 60%\n"}[c.gain])
	if c.rescue {
		b.WriteString("gyro level when rescue 1500 3000\n")
	}
	for _, x := range c.cells {
		var windows []string
		for i, l := range c.levers {
			from, to := l.window(x.at[i])
			windows = append(windows, fmt.Sprintf("%s %d %d", l.name, from, to))
		}
		fmt.Fprintf(&b, "gyro %s when %s\n", x.gyro, strings.Join(windows, " "))
	}
	b.WriteString(f.mixes(c.mixes) + f.leads)
	return b.String()
}

func (c *craft) presets(f *broken) string {
	var b strings.Builder
	put := func(name, where string) {
		if wrong, ok := f.presets[name]; ok {
			where = wrong
		}
		if where != "" {
			fmt.Fprintf(&b, "preset main %s %s\n", name, where)
		}
	}
	if c.throttled() {
		put("throttle", "988")
	}
	if c.gain == "knob" {
		put("gain", "1756")
	}
	for i, l := range c.levers {
		put(l.name, l.names[c.doing(sheet.DoesNothing).at[i]])
	}
	put("teach", "rest")
	if c.rescue {
		put("rescue", "rest")
	}
	return b.String()
}

func (c *craft) read(t testing.TB) *sheet.Sheet {
	s, err := sheet.Read("craft", []byte(c.text()))
	require.NoError(t, err, c.text())
	return s
}
