package port

import (
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
)

// holdersOf is who has a port open, as far as it may be seen: without root these are
// one's own programs.
func holdersOf(path string) []Holder { return holdersIn("/proc", path) }

// othersWith are those of holdersOf that are not this very program.
func othersWith(path string) []Holder {
	return slices.DeleteFunc(holdersOf(path), func(h Holder) bool { return h.PID == os.Getpid() })
}

func holdersIn(proc, path string) (list []Holder) {
	device, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil
	}
	processes, _ := os.ReadDir(proc)
	for _, p := range processes {
		pid, err := strconv.Atoi(p.Name())
		if err != nil {
			continue
		}
		folder := filepath.Join(proc, p.Name())
		if hasOpen(filepath.Join(folder, "fd"), device) {
			name, _ := os.ReadFile(filepath.Join(folder, "comm"))
			list = append(list, Holder{PID: pid, Program: strings.TrimSpace(string(name))})
		}
	}
	return list
}

func hasOpen(folder, device string) bool {
	files, _ := os.ReadDir(folder)
	for _, f := range files {
		if to, err := os.Readlink(filepath.Join(folder, f.Name())); err == nil && to == device {
			return true
		}
	}
	return false
}

// admission says how to come to be allowed to open a port.
func admission(path string) string {
	const unknown = "join the group that owns it (see ls -l %s) and log in anew"
	info, err := os.Stat(path)
	if err != nil {
		return fmt.Sprintf(unknown, path)
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return fmt.Sprintf(unknown, path)
	}
	if info.Mode().Perm()&0o060 != 0o060 {
		return fmt.Sprintf("its mode %v lets no group in; a udev rule that sets GROUP and MODE=\"0660\" does", info.Mode().Perm())
	}
	group, err := user.LookupGroupId(strconv.Itoa(int(owner.Gid)))
	if err != nil {
		return fmt.Sprintf(unknown, path)
	}
	return fmt.Sprintf("join the group %s that owns it (sudo usermod -a -G %s $USER) and log in anew", group.Name, group.Name)
}
