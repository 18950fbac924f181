package port

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"syscall"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
)

// twoEnds is a pseudo-terminal of which this process holds both ends.
func twoEnds(t *testing.T) (near, far *os.File) {
	t.Helper()
	near, far, err := pty.Open()
	require.NoError(t, err)
	t.Cleanup(func() { _ = near.Close(); _ = far.Close() })
	return near, far
}

func onePort(t *testing.T) (string, world.Sink) {
	t.Helper()
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	t.Cleanup(func() { _ = ports.Close() })
	return ports.Paths()[0], ports.Ends()[0]
}

// A pseudo-terminal clears parity, but doubles 0xFF once it is to mark errors: so
// what is set through our handle takes effect, and the reader undoes it.
func TestMarksAreSetThroughOurHandle(t *testing.T) {
	near, far := twoEnds(t)
	fd := int(far.Fd())
	require.ErrorIs(t, markErrors(fd), errNoParity)
	settings, err := unix.IoctlGetTermios(fd, unix.TCGETS2)
	require.NoError(t, err)
	settings.Lflag &^= unix.ICANON | unix.ECHO
	settings.Iflag |= unix.IGNPAR | unix.BRKINT
	require.NoError(t, setMarks(fd, settings))
	_, err = near.Write([]byte("a\xffb"))
	require.NoError(t, err)
	buf := make([]byte, 16)
	n, err := far.Read(buf)
	require.NoError(t, err)
	require.Equal(t, "a\xff\xffb", string(buf[:n]))
	characters, bad := marked(t, buf[:n], n)
	assert.Equal(t, "a\xffb", string(characters))
	assert.Equal(t, []bool{false, false, false}, bad)
	settings, err = unix.IoctlGetTermios(fd, unix.TCGETS2)
	require.NoError(t, err)
	assert.Zero(t, settings.Iflag&(unix.IGNPAR|unix.BRKINT|unix.ISTRIP|unix.IGNBRK))
	assert.Equal(t, uint32(unix.INPCK|unix.PARMRK), settings.Iflag&(unix.INPCK|unix.PARMRK))
}

func TestAPortThatShowsNoErrorsSaysWhy(t *testing.T) {
	hides := &linuxPort{settings: uart.Format{Baud: 100_000, Data: 8, Parity: uart.Even, Stop: 2}}
	assert.Equal(t, "this port's driver does not report parity errors", hides.port().Errors)
	hides.visible = true
	assert.Empty(t, hides.port().Errors)
	hides.visible, hides.settings.Parity = false, uart.None
	assert.Empty(t, hides.port().Errors, "there are none")
	path, _ := onePort(t)
	h := runPort(t, path)
	var p event.Port
	require.NoError(t, json.Unmarshal(h.until(t, isKind(event.InputTapUp)).Data, &p))
	assert.Equal(t, event.Port{Port: path, Settings: "100000 8E2", Latency: "unknown", Errors: "a pseudo-terminal carries no parity"}, p)
}

// A fresh terminal echoes.
func TestATerminalIsHushed(t *testing.T) {
	_, far := twoEnds(t)
	before, err := unix.IoctlGetTermios(int(far.Fd()), unix.TCGETS2)
	require.NoError(t, err)
	require.NotZero(t, before.Lflag&unix.ECHO)
	require.NoError(t, stopEcho(int(far.Fd())))
	after, err := unix.IoctlGetTermios(int(far.Fd()), unix.TCGETS2)
	require.NoError(t, err)
	assert.Zero(t, after.Lflag&(unix.ECHO|unix.ECHONL|unix.ICANON))
	assert.Zero(t, after.Oflag&unix.OPOST)
	assert.ErrorIs(t, stopEcho(openNull(t)), syscall.ENOTTY)
}

func openNull(t *testing.T) int {
	t.Helper()
	f, err := os.Open(os.DevNull)
	require.NoError(t, err)
	t.Cleanup(func() { _ = f.Close() })
	return int(f.Fd())
}

// markedLine is a line whose reads carry marks, cut anywhere.
type markedLine struct {
	line
	reads  chan []byte
	counts []Counters
}

func (m *markedLine) read(take func([]byte)) error {
	for r := range m.reads {
		take(r)
	}
	return os.ErrClosed
}

func (m *markedLine) marked() bool { return true }
func (m *markedLine) Close() error { return nil }
func (m *markedLine) counters() (Counters, bool) {
	if len(m.counts) == 0 {
		return Counters{}, false
	}
	c := m.counts[0]
	m.counts = m.counts[1:]
	return c, true
}

func TestSuspectCharactersAreInputsOfTheirOwn(t *testing.T) {
	seq := NewSequencer(Clock, 0, 0)
	p := &Port{Tap: 1, Seq: seq}
	l := &markedLine{reads: make(chan []byte, 4)}
	for _, r := range []string{"\x0fab\xff", "\x00cd\xff\xff", "\xff\x00\x00\xff\x00\xffe"} {
		l.reads <- []byte(r)
	}
	close(l.reads)
	require.ErrorIs(t, p.read(t.Context(), l), os.ErrClosed)
	seq.Close(0)
	var got []string
	b := taken(seq, Judge)
	for i := range b.Len() {
		got = append(got, b.Input(i).Kind.String()+" "+string(b.Input(i).Data))
	}
	assert.Equal(t, []string{"bytes \x0fab", "bad-bytes c", "bytes d\xff", "bad-bytes \x00\xff", "bytes e"}, got)
}

// The lock is on the device, so other names of it lead to the same one, and who holds it
// is seen, also by root, whom the claim does not bind.
func TestTwoOfUsNeverReadOnePort(t *testing.T) {
	path, _ := onePort(t)
	other := filepath.Join(t.TempDir(), "other-name")
	device, err := filepath.EvalSymlinks(path)
	require.NoError(t, err)
	require.NoError(t, os.Symlink(device, other))

	held, err := os.Open(path)
	require.NoError(t, err)
	require.True(t, lockDevice(held))
	_, err = openPort(other, busLine)
	var trouble *HeldError
	require.ErrorAs(t, err, &trouble)
	assert.Equal(t, []Holder{{PID: os.Getpid(), Program: "port.test"}}, trouble.By)
	require.NoError(t, held.Close())
	p, err := openPort(other, busLine)
	require.NoError(t, err)
	require.NoError(t, p.Close())
}

// What is no serial port is refused before it is opened: opening a pipe would wait for
// ever, and setting the line of a console would lock its user out.
func TestOnlySerialPortsAreOpened(t *testing.T) {
	dir := t.TempDir()
	pipe, file := filepath.Join(dir, "pipe"), filepath.Join(dir, "file")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	for _, path := range []string{pipe, file, dir, "/dev/null", "/dev/zero", "/dev/tty", "/dev/console", "/dev/tty0"} {
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			continue // no console in a container
		}
		_, err := openPort(path, busLine)
		require.ErrorIs(t, err, errNoTerminal, path)
		assert.Contains(t, Explain(path, err), path+" is not a serial port", path)
	}
	_, err := openPort(filepath.Join(dir, "none"), busLine)
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// busLine is how a servo bus is sent.
var busLine = servobus.Protocol().Line

func TestASecondListenerIsToldAndTakesOverLater(t *testing.T) {
	path, _ := onePort(t)
	first, err := openPort(path, busLine)
	require.NoError(t, err)
	_, err = openPort(path, busLine)
	require.Error(t, err)
	assert.Contains(t, Explain(path, err), "is listened to already")
	before := descriptors(t)
	_, err = openPort(path, busLine)
	require.Error(t, err)
	assert.Equal(t, before, descriptors(t), "a refused opening costs no descriptor")
	require.NoError(t, first.Close())
	second, err := openPort(path, busLine)
	require.NoError(t, err)
	require.NoError(t, second.Close())
}

// asNobody runs on a thread without root's rights: a claim does not bind root.
// The thread ends with it.
func asNobody(t *testing.T, do func()) {
	t.Helper()
	const nobody = 65534
	var running sync.WaitGroup
	running.Go(func() {
		runtime.LockOSThread() // never unlocked
		if os.Geteuid() == 0 {
			_, _, errno := syscall.RawSyscall(syscall.SYS_SETRESUID, nobody, nobody, nobody)
			assert.Zero(t, errno)
		}
		do()
	})
	running.Wait()
}

func TestAClaimedPortIsBusy(t *testing.T) {
	_, far := twoEnds(t)
	require.NoError(t, os.Chmod(far.Name(), 0o666))
	require.NoError(t, unix.IoctlSetInt(int(far.Fd()), unix.TIOCEXCL, 0))
	asNobody(t, func() {
		_, err := openPort(far.Name(), busLine)
		assert.ErrorIs(t, err, syscall.EBUSY)
		assert.True(t, isBusy(err))
		assert.Contains(t, Explain(far.Name(), err), far.Name()+" is listened to already", "it is this very program that claimed it")
	})
}

func TestAPortOfAnotherGroupNamesTheGroup(t *testing.T) {
	_, far := twoEnds(t)
	require.NoError(t, os.Chmod(far.Name(), 0o000))
	asNobody(t, func() {
		_, err := openPort(far.Name(), busLine)
		assert.ErrorIs(t, err, fs.ErrPermission)
		assert.Contains(t, Explain(far.Name(), err), "lets no group in")
	})
	require.NoError(t, os.Chmod(far.Name(), 0o660))
	assert.Regexp(t, `^join the group \S+ that owns it \(sudo usermod -a -G \S+ \$USER\) and log in anew$`, admission(far.Name()))
}

func TestWhoHoldsAPortIsSeen(t *testing.T) {
	proc, device := t.TempDir(), filepath.Join(t.TempDir(), "ttyUSB0")
	require.NoError(t, os.WriteFile(device, nil, 0o600))
	for pid, name := range map[string]string{"41": "terminal\n", "42": "idle\n", strconv.Itoa(os.Getpid()): "we\n"} {
		require.NoError(t, os.MkdirAll(filepath.Join(proc, pid, "fd"), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(proc, pid, "comm"), []byte(name), 0o600))
	}
	require.NoError(t, os.Symlink(device, filepath.Join(proc, "41", "fd", "3")))
	require.NoError(t, os.Symlink(device, filepath.Join(proc, strconv.Itoa(os.Getpid()), "fd", "3")))
	require.NoError(t, os.Symlink("/dev/null", filepath.Join(proc, "42", "fd", "0")))
	link := filepath.Join(t.TempDir(), "link")
	require.NoError(t, os.Symlink(device, link))
	assert.ElementsMatch(t, []Holder{{PID: 41, Program: "terminal"}, {PID: os.Getpid(), Program: "we"}}, holdersIn(proc, link))
	assert.Nil(t, holdersIn(proc, filepath.Join(t.TempDir(), "none")))
}

func TestTheStableName(t *testing.T) {
	dev := t.TempDir()
	device, second := filepath.Join(dev, "ttyUSB0"), filepath.Join(dev, "ttyUSB1")
	for _, d := range []string{device, second} {
		require.NoError(t, os.WriteFile(d, nil, 0o600))
	}
	links := filepath.Join(dev, "serial")
	for _, kind := range []string{"by-id", "by-path"} {
		require.NoError(t, os.MkdirAll(filepath.Join(links, kind), 0o700))
	}
	assert.Equal(t, device, stableIn(links, device), "it has no other name")
	byPath, byID := filepath.Join(links, "by-path", "socket-3"), filepath.Join(links, "by-id", "adapter-7")
	require.NoError(t, os.Symlink("../../ttyUSB0", byPath))
	require.NoError(t, os.Symlink("../../ttyUSB1", filepath.Join(links, "by-id", "adapter-6")))
	assert.Equal(t, byPath, stableIn(links, device))
	require.NoError(t, os.Symlink("../../ttyUSB0", byID))
	assert.Equal(t, byID, stableIn(links, device))
	assert.Equal(t, byPath, stableIn(links, byPath), "the user's own choice stays")
	assert.Equal(t, filepath.Join(dev, "none"), stableIn(links, filepath.Join(dev, "none")))
}

func TestLatencyIsReadWhereItIsShown(t *testing.T) {
	sys, device := t.TempDir(), filepath.Join(t.TempDir(), "ttyUSB3")
	require.NoError(t, os.WriteFile(device, nil, 0o600))
	assert.Equal(t, "unknown", latencyOf(sys, device))
	folder := filepath.Join(sys, "class/tty/ttyUSB3/device")
	require.NoError(t, os.MkdirAll(folder, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "latency_timer"), []byte("16\n"), 0o600))
	assert.Equal(t, "16 ms", latencyOf(sys, device))
	assert.Equal(t, "unknown", latencyOf(sys, filepath.Join(sys, "none")))
}

// A pseudo-terminal has neither counters nor a latency, and says so.
func TestADriverWithoutCounters(t *testing.T) {
	_, far := twoEnds(t)
	_, ok := driverCounters(int(far.Fd()))
	assert.False(t, ok)
	assert.True(t, errors.Is(lowLatency(int(far.Fd())), syscall.ENOTTY))
}
