// The lines that the board prints, sent character by character.
#ifndef LINE_H
#define LINE_H

#include <stdbool.h>

#include "pulses.h"

// line_start sets the serial line up: 500000 baud 8N1, sending only.
void line_start(void);

// line_send sends the next character, if there is one and the line is free.
void line_send(void);

// line_room reports whether there is room for one more line.
bool line_room(void);

// line_pulse and line_board put a line together, if there was room.
void line_pulse(const pulse_t *p);
void line_board(uint32_t dropped);

#endif
