// Edges to pulses, and a queue of those that are to be told.
#ifndef PULSES_H
#define PULSES_H

#include <stdbool.h>
#include <stdint.h>

#include "capture.h"

typedef struct {
	uint32_t rise, width; // ticks
	uint16_t seq;
	uint8_t output; // from 1
} pulse_t;

// pulses_start takes the levels that the inputs begin with.
void pulses_start(uint8_t levels);

// pulses_edge takes an edge; now is a clock of 4 us that may go round at 256.
void pulses_edge(const edge_t *e, uint8_t now);

// pulses_lost: edges are missing, and these are the levels behind them.
void pulses_lost(uint8_t levels);

// pulses_settle queues the pulses behind which the pause has lasted. It is called
// at least every 500 us.
void pulses_settle(uint8_t now);

// pulses_second is called once a second.
void pulses_second(void);

// pulses_take takes the oldest pulse, if there is one.
bool pulses_take(pulse_t *p);

// pulses_dropped is how many pulses were not told, since the start.
uint32_t pulses_dropped(void);

#endif
