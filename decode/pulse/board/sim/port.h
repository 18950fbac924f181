// Where the board's serial line goes: stdout, or a pseudo-terminal.
#ifndef PORT_H
#define PORT_H

#include <stdbool.h>
#include <stddef.h>

// port_open makes a pseudo-terminal and prints its path, or takes stdout.
void port_open(bool pty);

// port_is_open reports whether somebody has the pseudo-terminal open; stdout is.
bool port_is_open(void);

// port_put keeps a character until port_flush.
void port_put(char c);

// port_flush writes what was kept. What a reader who is too slow has no room for
// is waited for, or else lost, as with an adapter; it returns how much was lost.
size_t port_flush(bool wait);

#endif
