//	$PBPX,<seq>,<output>,<rise>,<width>*hh    a pulse; all but output hexadecimal
//	$PBPI,<board>,<tick_ns>,<outputs>,<dropped>*hh

#include "line.h"

#include <avr/io.h>
#include <stdint.h>
#include <stdlib.h>

#define NAME "ref-8"
#define TICK_NS "500"

#define ROOM 64  // characters, a power of two
#define LINE 48  // more than a line takes

static char text[ROOM];
static uint8_t put, sent; // modulo 256
static uint8_t sum;

void line_start(void)
{
	UCSR0A = _BV(U2X0);
	UBRR0 = 3; // 16 MHz / 8 / (3 + 1), no error
	UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
	UCSR0B = _BV(TXEN0);
}

void line_send(void)
{
	if (sent != put && UCSR0A & _BV(UDRE0))
		UDR0 = text[sent++ % ROOM];
}

bool line_room(void) { return (uint8_t)(put - sent) <= ROOM - LINE; }

// add sends what is there already, so that the line does not fall silent while the
// next one is put together.
static void add(char c)
{
	text[put++ % ROOM] = c;
	sum ^= c;
	line_send();
}

static void add_text(const char *s)
{
	while (*s)
		add(*s++);
}

static void add_digit(uint8_t v) { add(v < 10 ? '0' + v : 'A' - 10 + v); }

// Byte by byte: shifting 32 bits by a variable is slow here.
static void add_hex(uint32_t v, uint8_t bytes)
{
	const uint8_t *b = (const uint8_t *)&v + bytes;
	bool begun = false;

	while (bytes--) {
		uint8_t high = *--b >> 4, low = *b & 15;

		if (begun || high)
			add_digit(high);
		begun = begun || *b;
		if (begun || !bytes)
			add_digit(low);
	}
}

static void begin(const char *kind)
{
	add('$');
	sum = 0;
	add_text(kind);
}

static void end(void)
{
	uint8_t s = sum;

	add('*');
	add_digit(s >> 4);
	add_digit(s & 15);
	add('\r');
	add('\n');
}

void line_pulse(const pulse_t *p)
{
	begin("PBPX,");
	add_hex(p->seq, 2);
	add(',');
	add_digit(p->output);
	add(',');
	add_hex(p->rise, 4);
	add(',');
	add_hex(p->width, 4);
	end();
}

void line_board(uint32_t dropped)
{
	char number[11];

	begin("PBPI," NAME "," TICK_NS ",");
	add_digit(OUTPUTS);
	add(',');
	ultoa(dropped, number, 10);
	add_text(number);
	end();
}
