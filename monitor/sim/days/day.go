package days

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// wall is the wall clock when a day begins, Unix ns.
const wall = int64(1_777_713_243_000_000_000)

// Played is what came of a day.
type Played struct {
	Lives    int
	Inputs   int // that were put in, in all lives
	Events   int // in the timeline, at the end
	Promised int // events that were written, and marks that were answered
	Gaps     int // in the recording
	Log      []string
}

// Add adds what came of another day, but for what is said of it.
func (p *Played) Add(of *Played) {
	p.Lives, p.Inputs, p.Events = p.Lives+of.Lives, p.Inputs+of.Inputs, p.Events+of.Events
	p.Promised, p.Gaps = p.Promised+of.Promised, p.Gaps+of.Gaps
}

// Play plays a story to its end. The error says what does not hold.
func Play(s *Story) (p Played, err error) { return PlayWith(s, Spoiled{}) }

// Spoiled are ways to make what a story finds wrong, for a test that it is found.
type Spoiled struct {
	Lies      func(*filestest.Disk, filestest.Call) bool // which syncs are left out; nil: none
	Unchecked bool                                       // nothing is checked
}

// PlayWith plays a story with something spoiled.
func PlayWith(s *Story, spoiled Spoiled) (p Played, err error) {
	d, err := newDay(s, spoiled)
	if err != nil {
		return p, err
	}
	err = d.play()
	p = d.played
	p.Log, p.Promised = d.log, len(d.promised)+len(d.answered)
	return p, err
}

// mostAfter is how long a day may go on behind its end, ns: what hangs or stands still does so for less.
const mostAfter = 60 * second

// day is a story that is played.
type day struct {
	*scheduler
	story   *Story
	spoiled Spoiled
	sheet   *sheet.Sheet
	served  func() served
	bench   *script.Driver
	disk    *filestest.Disk
	held    *mount    // who has the folder
	life    *life     // that is lived; nil: none
	ending  Happening // with which a life ends
	calls   int       // to the disk, until it does; 0: none is to end it
	played  Played
	log     []string
	failed  error
	faults  diskFaults
	links   map[string]int64 // until when names lead elsewhere
	clogged int64            // until when ports are not read
	waiting []world.Delivery // meanwhile
	gone    bool             // the port is not there
	wallOff int64            // what the wall clock was set by
	puts    []put            // that were put in, in all lives
	begun   []int64          // when each life began to hear, ns since the day began

	delivered []world.Delivery // by the bench, all day
	last      *judged          // of the last life, as it was left

	tampered bool // somebody took away what nobody can give back
	damaged  bool // something on the disk may be damaged where it is not the end of a file

	otherwise bool // a life said that damage has the recording judged otherwise: the timeline stays as it was then

	// What nothing may take any more.
	promised []string
	answered []put           // of clients, answered as recorded
	inGap    map[string]bool // lines of events that came in a gap: the recording does not give them
}

func newDay(s *Story, spoiled Spoiled) (*day, error) {
	d := &day{
		scheduler: &scheduler{luck: rand.New(rand.NewPCG(s.Seed, 21))}, story: s, spoiled: spoiled, inGap: map[string]bool{}, links: map[string]int64{},
	}
	known, err := sheetOf(s.Sheet)
	if err != nil {
		return nil, err
	}
	d.sheet, d.served = known.sheet, known.served
	scripted, err := script.ParseDriven("day", []byte(s.Bench))
	if err != nil {
		return nil, err
	}
	d.bench = script.Drive(scripted, s.Seed)
	d.take(filestest.New())
	return d, nil
}

// knownSheet is a sheet and what is served of it: days have few sheets, which nothing changes.
type knownSheet struct {
	sheet  *sheet.Sheet
	served func() served
}

var knownSheets sync.Map // *knownSheet by text

func sheetOf(text string) (*knownSheet, error) {
	if k, is := knownSheets.Load(text); is {
		return k.(*knownSheet), nil
	}
	s, err := sheet.Read("day", []byte(text))
	if err != nil {
		return nil, err
	}
	k, _ := knownSheets.LoadOrStore(text, &knownSheet{s, servedOf(text, s)})
	return k.(*knownSheet), nil
}

// take goes on with a disk.
func (d *day) take(disk *filestest.Disk) {
	d.disk = disk
	d.disk.Before = d.before
	if d.spoiled.Lies != nil {
		d.disk.Lies = func(c filestest.Call) bool { return d.spoiled.Lies(disk, c) }
	}
	d.held = nil
}

// note writes down what happened, for who looks for a cause.
func (d *day) note(format string, args ...any) {
	d.log = append(d.log, fmt.Sprintf("%9.3f s  ", float64(d.now)/1e9)+fmt.Sprintf(format, args...))
}

func (d *day) play() error {
	if err := d.hands(); err != nil {
		return err
	}
	d.start(nil, 0, d.pump)
	d.start(nil, 0, d.happenings)
	d.begin(0)
	for d.failed == nil && (d.life != nil || d.now < d.story.Length) && d.step() {
		if d.now > d.story.Length+mostAfter {
			return errors.New("it does not come to its end")
		}
		if l := d.life; l != nil && l.over {
			d.end(l)
			if err := d.settle(l); err != nil {
				return errors.Join(fmt.Errorf("life %d, which ended by %s: %w", d.played.Lives, l.by, err), d.failed)
			}
		}
	}
	d.end(nil)
	if d.failed != nil || d.spoiled.Unchecked {
		return d.failed
	}
	return d.checkModel()
}

// hands lets the bench know what hands do all day.
func (d *day) hands() error {
	for i := range d.story.Happens {
		if h := &d.story.Happens[i]; h.What == hands {
			if err := d.bench.Say(h.At, h.Text); err != nil {
				return fmt.Errorf("the story makes no sense: %w", err)
			}
		}
	}
	return nil
}

// pump has the bench deliver.
func (d *day) pump() {
	const at1 = 20 * millisecond
	for from := int64(0); from < d.story.Length; from += at1 {
		for _, delivery := range d.bench.Advance(from + at1) {
			if !d.sleep(delivery.At) {
				return
			}
			d.delivered = append(d.delivered, delivery)
			d.deliver(&delivery)
		}
		if !d.sleep(from + at1) {
			return
		}
	}
}

// happenings has everything else happen.
func (d *day) happenings() {
	for _, h := range d.story.Happens {
		if h.What == hands {
			continue
		}
		if !d.sleep(h.At) {
			return
		}
		d.happen(h)
	}
	if d.sleep(d.story.Length) {
		d.endBy(Happening{What: stops})
	}
}

func (d *day) happen(h Happening) {
	_, said, _ := strings.Cut(h.String(), " s  ")
	d.note("%s", said)
	luck := rand.New(rand.NewPCG(h.Luck, 2))
	switch h.What {
	case full, hangs, refuses:
		d.faults.begin(&h, d.now)
	case rots, removed, swapped, linked:
		d.tamper(&h, luck)
	case another:
		d.start(d.life, d.now, d.openAnother)
	case clock:
		d.wallOff += h.For
	case still:
		d.standStill(d.life, d.now+h.For)
		d.clogged = max(d.clogged, d.now+h.For)
	case unplugs, clogs, babbles:
		d.portFault(&h, luck)
	case marks, changes, looks, drills, follows:
		d.visit(&h, luck)
	default:
		d.endBy(h)
	}
}

// visit has clients come who do what happens.
func (d *day) visit(h *Happening, luck *rand.Rand) {
	does := map[What]func(){
		marks:   func() { d.mark(h) },
		changes: func() { d.change(h, luck) },
		looks:   func() { d.look(h) },
		drills:  func() { d.drill(h, luck) },
		follows: func() { d.follow(h, luck) },
	}[h.What]
	clients := 1
	if h.What == marks {
		clients = h.Count
	}
	for range clients {
		d.start(nil, d.now, does)
	}
}

// endBy has the life end, or be near its end.
func (d *day) endBy(h Happening) {
	l := d.life
	if l == nil || d.ending.What != "" {
		return
	}
	d.ending, d.calls = h, h.Count
	if h.What == stops {
		l.stop = true
		return
	}
	d.start(l, d.now+second, func() { d.die(l) }) // no call to the disk came
}

// die ends a life in whatever it does.
func (d *day) die(l *life) {
	if l.over {
		return
	}
	l.over, l.by = true, d.ending.What
	luck := rand.New(rand.NewPCG(d.ending.Luck, 1))
	switch {
	case d.ending.What == killed:
		l.left = d.disk.Copy()
	case luck.IntN(2) == 0:
		l.left = d.disk.PowerCut(luck)
	default:
		l.left = d.disk.AnyPowerCut(luck)
		d.damaged = true
	}
	d.note("%s in %s", l.by, l.call)
}

// settle follows a life.
func (d *day) settle(l *life) error {
	d.life = nil
	if l.left == nil {
		l.left = d.disk
		l.left.Before = nil
	}
	d.played.Inputs += len(l.puts)
	d.puts = append(d.puts, l.puts...)
	if !d.spoiled.Unchecked {
		if err := d.check(l); err != nil {
			return err
		}
	}
	d.take(l.left)
	pause := d.ending.For
	if l.openErr != nil {
		pause += second
	}
	d.ending, d.calls = Happening{}, 0
	if d.now+pause < d.story.Length && d.played.Lives < mostLives {
		d.begin(d.now + pause)
	}
	return nil
}

// promise notes what a write gives: it follows the sync of what caused it. What was damaged before and is
// only written once more gives nothing.
func (d *day) promise(c filestest.Call) {
	if c.Op != "write" || c.Name != timelineFile {
		return
	}
	for _, line := range d.outsideGaps(linesIn(c.Data)) {
		if _, err := crclog.Check([]byte(strings.TrimSuffix(line, "\n"))); err == nil {
			d.promised = append(d.promised, line)
		}
	}
}

// outsideGaps are the lines of events that the recording gives.
func (d *day) outsideGaps(lines []string) []string {
	return slices.DeleteFunc(slices.Clone(lines), func(line string) bool { return d.inGap[line] })
}
