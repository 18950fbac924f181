package port

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tree writes files (text) and links (what begins with "->").
func tree(t *testing.T, root string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(root, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		if len(text) > 2 && text[:2] == "->" {
			require.NoError(t, os.Symlink(filepath.Join(root, text[2:]), path))
			continue
		}
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
}

// placesIn are the system's places in a tree.
func placesIn(root string) places {
	return places{
		sys: filepath.Join(root, "sys"), dev: filepath.Join(root, "dev"), proc: filepath.Join(root, "proc"), udev: filepath.Join(root, "udev"),
	}
}

func TestPortsAreListedFromTheSystemsTables(t *testing.T) {
	root := t.TempDir()
	tree(t, root, map[string]string{
		"sys/bus/usb-serial/drivers/some_driver/bind":         "",
		"sys/devices/usb1/1-2/idVendor":                       "0a1b\n",
		"sys/devices/usb1/1-2/idProduct":                      "2c3d\n",
		"sys/devices/usb1/1-2/product":                        "Bench Adapter\n",
		"sys/devices/usb1/1-2/serial":                         "A7\n",
		"sys/devices/usb1/1-2/1-2:1.0/ttyUSB10/latency_timer": "16\n",
		"sys/devices/usb1/1-2/1-2:1.0/ttyUSB10/driver":        "->sys/bus/usb-serial/drivers/some_driver",
		"sys/devices/usb1/1-2/1-2:1.0/ttyUSB2/uevent":         "",
		"sys/devices/board/0/uevent":                          "",
		"sys/class/tty/ttyUSB10/device":                       "->sys/devices/usb1/1-2/1-2:1.0/ttyUSB10",
		"sys/class/tty/ttyUSB2/device":                        "->sys/devices/usb1/1-2/1-2:1.0/ttyUSB2",
		"sys/class/tty/ttyS0/device":                          "->sys/devices/board/0",
		"sys/class/tty/ttyS0/type":                            "4\n",
		"sys/class/tty/ttyS1/device":                          "->sys/devices/board/0",
		"sys/class/tty/ttyS1/type":                            "0\n",
		"sys/class/tty/tty1/dev":                              "4:1\n",
		"dev/ttyUSB10":                                        "",
		"dev/ttyUSB2":                                         "",
		"dev/ttyS0":                                           "",
		"dev/serial/by-id/bench-adapter-A7":                   "->dev/ttyUSB10",
		"proc/55/comm":                                        "terminal\n",
		"proc/55/fd/3":                                        "->dev/ttyUSB10",
		"proc/tty/driver/serial": "serinfo:1.0 driver revision:\n0: uart:16550A port:000003F8 " +
			"irq:4 tx:1 rx:25 fe:1 pe:2 brk:3 oe:4 bo:5 RTS|DTR\n1: uart:unknown port:000002F8 irq:3\n",
	})
	list, err := placesIn(root).list()
	require.NoError(t, err)
	yes := true
	assert.Equal(t, []Info{
		{
			Port: filepath.Join(root, "dev/ttyS0"), Device: filepath.Join(root, "dev/ttyS0"), HeldBy: []Holder{}, MayOpen: &yes, Latency: "unknown",
			Counters: &Counters{Received: 25, Parity: 2, Framing: 1, Breaks: 3, Overruns: 4, BufferOverruns: 5},
			Trouble: []string{
				"it lost 9 characters since the system started: close what else keeps this computer busy, or use another adapter",
				"it saw 3 characters with errors since the system started: check the inverter, ground and baud rate",
			},
		},
		{
			Port: filepath.Join(root, "dev/ttyUSB2"), Device: filepath.Join(root, "dev/ttyUSB2"), USB: "0a1b:2c3d", Product: "Bench Adapter", Serial: "A7",
			HeldBy: []Holder{}, MayOpen: &yes, Latency: "unknown", Trouble: []string{},
		},
		{
			Port: filepath.Join(root, "dev/serial/by-id/bench-adapter-A7"), Device: filepath.Join(root, "dev/ttyUSB10"), Driver: "some_driver",
			USB: "0a1b:2c3d", Product: "Bench Adapter", Serial: "A7", HeldBy: []Holder{{PID: 55, Program: "terminal"}}, MayOpen: &yes, Latency: "16 ms",
			Trouble: []string{"held by terminal (process 55): close what you don't need there"},
		},
	}, list)
}

func TestAComputerWithoutPorts(t *testing.T) {
	root := t.TempDir()
	tree(t, root, map[string]string{"sys/class/tty/tty1/dev": "4:1\n"})
	list, err := places{sys: filepath.Join(root, "sys"), dev: filepath.Join(root, "dev"), proc: filepath.Join(root, "proc")}.list()
	require.NoError(t, err)
	assert.Equal(t, []Info{}, list)
	_, err = places{sys: filepath.Join(root, "none")}.list()
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestAPortThatMayNotBeOpened(t *testing.T) {
	no := false
	l := Info{Device: "/dev/none", MayOpen: &no, HeldBy: []Holder{{PID: 9, Program: "benchproof"}}}
	l.judge()
	assert.Equal(t, []string{
		"you may not open it: join the group that owns it (see ls -l /dev/none) and log in anew; never run as root",
		"a benchproof listens to it: that one tells what it hears",
	}, l.Trouble)
}

func TestPortsThatProgramsTryOutAreMarked(t *testing.T) {
	for name, x := range map[string]struct{ text, want string }{
		"marked":              {"S:x\nE:ID_QQ_CANDIDATE=1\nG:y\n", "ID_QQ_CANDIDATE"},
		"marked, but ignored": {"E:ID_QQ_CANDIDATE=1\nE:ID_QQ_DEVICE_IGNORE=1\n", ""},
		"another is ignored":  {"E:ID_QQ_CANDIDATE=1\nE:ID_ZZ_DEVICE_IGNORE=1\n", "ID_QQ_CANDIDATE"},
		"not marked":          {"E:ID_QQ_CANDIDATE=0\nE:ID_MODEL=ID_QQ_CANDIDATE=1\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			root := t.TempDir()
			tree(t, root, map[string]string{
				"sys/devices/usb1/1-2/idVendor": "0a1b\n", "sys/devices/usb1/1-2/idProduct": "2c3d\n", "sys/devices/usb1/1-2/ttyUSB0/uevent": "",
				"sys/class/tty/ttyUSB0/device": "->sys/devices/usb1/1-2/ttyUSB0", "sys/class/tty/ttyUSB0/dev": "188:0\n", "dev/ttyUSB0": "",
				"udev/c188:0": x.text,
			})
			list, err := placesIn(root).list()
			require.NoError(t, err)
			require.Len(t, list, 1)
			assert.Equal(t, x.want, list[0].Candidate)
			if x.want == "" {
				assert.Empty(t, list[0].Trouble)
			} else {
				assert.Len(t, list[0].Trouble, 1)
				assert.Contains(t, list[0].Trouble[0], `ATTRS{idVendor}=="0a1b", ATTRS{idProduct}=="2c3d", ENV{ID_QQ_DEVICE_IGNORE}="1"`)
			}
		})
	}
}
