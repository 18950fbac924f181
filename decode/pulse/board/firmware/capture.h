// What the pins did, as the interrupt saw it.
#ifndef CAPTURE_H
#define CAPTURE_H

#include <stdbool.h>
#include <stdint.h>

#define OUTPUTS 8

// edge_t is what the inputs are from a tick on: a bit for each output, output 1 in
// bit 0. It may be what they were before: a glitch that was over at once.
typedef struct {
	uint32_t tick;
	uint8_t levels;
} edge_t;

// capture_start sets pins and timer up. From here on edges are captured.
void capture_start(void);

// capture_take takes the oldest edge, if there is one.
bool capture_take(edge_t *e);

// capture_overrun reports once that edges were lost, and with them all that were
// not taken. Then it captures from here on.
bool capture_overrun(void);

// capture_levels is what the inputs are now.
uint8_t capture_levels(void);

#endif
