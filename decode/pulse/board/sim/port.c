#define _GNU_SOURCE
#include "port.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

static int fd = STDOUT_FILENO;
static bool terminal;
static char kept[1 << 16];
static size_t n;

static void must(bool good, const char *what)
{
	if (!good) {
		perror(what);
		exit(3);
	}
}

void port_open(bool pty)
{
	struct termios raw;
	char path[128];
	int slave;

	if (!pty)
		return;
	terminal = true;
	fd = posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK);
	must(fd >= 0 && !grantpt(fd) && !unlockpt(fd) && !ptsname_r(fd, path, sizeof path), "pseudo-terminal");
	slave = open(path, O_RDWR | O_NOCTTY);
	must(slave >= 0 && !tcgetattr(slave, &raw), path);
	cfmakeraw(&raw);
	must(!tcsetattr(slave, TCSANOW, &raw), path);
	close(slave); // from here on a hang-up says that nobody has it open
	printf("%s\n", path);
	fflush(stdout);
}

bool port_is_open(void)
{
	struct pollfd p = {.fd = fd};

	return !terminal || (poll(&p, 1, 0) >= 0 && !(p.revents & POLLHUP));
}

void port_put(char c)
{
	if (n == sizeof kept)
		port_flush(true);
	kept[n++] = c;
}

size_t port_flush(bool wait)
{
	struct pollfd p = {.fd = fd, .events = POLLOUT};
	size_t done = 0, lost;

	while (done < n) {
		ssize_t w = write(fd, kept + done, n - done);

		if (w > 0) {
			done += w;
			continue;
		}
		must(errno == EAGAIN || errno == EINTR || errno == EIO, "serial line");
		if (!wait || !port_is_open())
			break;
		poll(&p, 1, 10);
	}
	lost = n - done;
	n = 0;
	return lost;
}
