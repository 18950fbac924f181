# Starts a systemd of its own, for some units alone: systemd.sh FOLDER GROUP UNIT. FOLDER has
# the units and what else they read, and is seen as /run/bench. It has processes, mounts and a
# control group of its own, none of the machine's units and none of its state; who ends it
# ends all of that.
set -e
mount --make-rprivate /
mkdir -p "$1/seen"
mount --bind "$1" "$1/seen"
mount -t tmpfs none /run
mkdir -p /run/systemd/system /run/lock /run/bench /run/groups
mount --move "$1/seen" /run/bench
mount -t cgroup2 none /run/groups
mkdir "/run/groups/$2"
echo $$ >"/run/groups/$2/cgroup.procs"
exec unshare --cgroup --pid --uts --ipc --fork --kill-child --mount-proc bash -ec '
umount /run/groups
umount -R /sys/fs/cgroup
mount -t cgroup2 none /sys/fs/cgroup
for folder in /lib/systemd/system /etc/systemd/system /var/lib; do mount -t tmpfs none "$folder"; done
cp -r /run/bench/units/. /etc/systemd/system
mount --make-rshared / # within this world: credentials of a service are mounted by a process aside
exec env -i container=other PATH="$PATH" /lib/systemd/systemd --system "--unit=$1" --log-target=console --show-status=0
' systemd "$3"
