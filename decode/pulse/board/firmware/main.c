// A capture board: eight servo leads in, a line for each pulse out. An 8-bit AVR
// at 16 MHz. It never drives a lead.

#include <avr/io.h>

#include "capture.h"
#include "line.h"
#include "pulses.h"

#define SECOND 250000UL // of timer 0: 16 MHz / 64

static uint32_t since;    // the board spoke of itself, 4 us
static bool due = true;   // it is to speak

// count lets the time go by that has gone by.
static uint8_t count(uint8_t before)
{
	uint8_t now = TCNT0;

	since += (uint8_t)(now - before);
	if (since >= SECOND) {
		since -= SECOND;
		due = true;
		pulses_second();
	}
	return now;
}

// say puts the next line together, if there is one.
static void say(void)
{
	pulse_t p;

	if (due) {
		due = false;
		line_board(pulses_dropped());
	} else if (pulses_take(&p)) {
		line_pulse(&p);
	}
}

int main(void)
{
	uint8_t now = 0;
	edge_t e;

	line_start();
	TCCR0B = _BV(CS01) | _BV(CS00); // 4 us, no interrupt
	capture_start();
	pulses_start(capture_levels());
	for (;;) {
		// The line is looked at often: it falls silent where nobody does.
		now = count(now);
		line_send();
		while (capture_take(&e)) {
			pulses_edge(&e, now);
			line_send();
		}
		line_send();
		if (capture_overrun())
			pulses_lost(capture_levels());
		pulses_settle(now);
		line_send();
		if (line_room())
			say();
		line_send();
	}
}
