// A pulse that could not be told for sure takes a number too, so that who reads the
// numbers knows where one is lacking.

#include "pulses.h"

#define ROOM 64            // pulses, a power of two
#define PAUSE_TICKS 200    // 100 us: a pause that is shorter is a hole in one pulse
#define PAUSE_4US 26       // as much and a little more
#define LONGEST_SECONDS 2  // a pulse this old will be none: its width would go round

// FIRST_SEQ lets tests have the numbers begin elsewhere.
#ifndef FIRST_SEQ
#define FIRST_SEQ 0
#endif

typedef struct {
	uint32_t rise, fall;
	uint8_t fell_at; // clock of 4 us
	uint8_t seconds; // that it is high
	bool open;       // it rose
	bool wrong;      // it is none that can be told
	bool held;       // it fell, and the pause behind it lasts not long enough yet
} output_t;

static output_t outputs[OUTPUTS];
static uint8_t levels;
static uint8_t holding; // outputs that are held
static pulse_t queue[ROOM];
static uint8_t put, took; // modulo 256
static uint16_t seq = FIRST_SEQ;
static uint32_t dropped;

static void drop(void)
{
	seq++;
	dropped++;
}

static void rise(output_t *o, uint32_t tick)
{
	bool hole = o->held && tick - o->fall < PAUSE_TICKS;

	if (hole) {
		o->held = false;
		holding--;
		drop();
	}
	o->rise = tick;
	o->open = true;
	o->wrong = hole;
	o->seconds = 0;
}

static void fall(output_t *o, uint32_t tick, uint8_t now)
{
	if (!o->open) // it was high from the start
		return;
	o->open = false;
	if (o->wrong) {
		drop();
		return;
	}
	o->fall = tick;
	o->fell_at = now;
	o->held = true;
	holding++;
}

static void queue_up(output_t *o, uint8_t number)
{
	o->held = false;
	holding--;
	if ((uint8_t)(put - took) == ROOM) {
		drop();
		return;
	}
	pulse_t *p = &queue[put++ % ROOM];
	p->rise = o->rise;
	p->width = o->fall - o->rise;
	p->seq = seq++;
	p->output = number;
}

void pulses_start(uint8_t now) { levels = now; }

void pulses_edge(const edge_t *e, uint8_t now)
{
	uint32_t tick = e->tick;
	uint8_t changed = e->levels ^ levels;

	levels = e->levels;
	output_t *o = outputs;
	uint8_t high = levels;
	for (uint8_t n = 1; changed; n++, o++, changed >>= 1, high >>= 1) {
		if (!(changed & 1))
			continue;
		// What fell long ago, if nobody had the time to queue it, is told first.
		if (o->held && high & 1 && tick - o->fall >= PAUSE_TICKS)
			queue_up(o, n);
		if (high & 1)
			rise(o, tick);
		else
			fall(o, tick, now);
	}
}

void pulses_lost(uint8_t now)
{
	levels = now;
	holding = 0;
	drop(); // how many, nobody knows
	for (uint8_t i = 0; i < OUTPUTS; i++) {
		if (outputs[i].held || outputs[i].open)
			drop();
		outputs[i].held = outputs[i].open = false;
	}
}

void pulses_settle(uint8_t now)
{
	for (uint8_t i = 0; holding && i < OUTPUTS; i++)
		if (outputs[i].held && (uint8_t)(now - outputs[i].fell_at) >= PAUSE_4US)
			queue_up(&outputs[i], i + 1);
}

void pulses_second(void)
{
	for (uint8_t i = 0; i < OUTPUTS; i++)
		if (outputs[i].open && ++outputs[i].seconds >= LONGEST_SECONDS) {
			outputs[i].open = false;
			drop();
		}
}

bool pulses_take(pulse_t *p)
{
	if (put == took)
		return false;
	*p = queue[took++ % ROOM];
	return true;
}

uint32_t pulses_dropped(void) { return dropped; }
