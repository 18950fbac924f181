/* The yardstick for reading: a plain reader of serial ports, poll() and read(),
 * that throws away what it reads. reader PORT ... */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <unistd.h>

int main(int argc, char **argv)
{
	struct pollfd ports[64];
	char buf[4096];
	int n = argc - 1;

	if (n < 1 || n > 64) {
		fprintf(stderr, "reader: got %d ports, want 1 to 64\n", n);
		return 2;
	}
	for (int i = 0; i < n; i++) {
		ports[i].fd = open(argv[i + 1], O_RDONLY | O_NOCTTY | O_NONBLOCK);
		ports[i].events = POLLIN;
		if (ports[i].fd < 0) {
			perror(argv[i + 1]);
			return 1;
		}
	}
	for (;;) {
		if (poll(ports, n, -1) < 0) {
			if (errno == EINTR)
				continue;
			perror("poll");
			return 1;
		}
		for (int i = 0; i < n; i++) {
			if (!(ports[i].revents & (POLLIN | POLLHUP | POLLERR)))
				continue;
			if (read(ports[i].fd, buf, sizeof buf) <= 0 && errno != EAGAIN)
				return 0; /* the other end is gone */
		}
	}
}
