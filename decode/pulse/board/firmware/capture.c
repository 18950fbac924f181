// The interrupt does nothing but note time and pins, so that an edge that comes
// while it runs is seen soon, and many edges of one moment cost no more than one.
// It is written in assembler because the compiler takes twice as long.
//
//	output  1   2   3   4   5   6   7   8
//	pin     PD2 PD3 PD4 PD5 PD6 PD7 PB0 PB1
//
// Port D alone has eight pins, but two of them are those of the serial line.

#include "capture.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

// note_t is one slot; eight bytes, so that 32 of them are found by one byte.
typedef struct {
	uint16_t low; // half of the tick
	uint8_t d, b; // pins
	uint8_t flags; // of the timer
	uint8_t round_low, round_high; // of the timer: the upper half of the tick
	uint8_t unused;
} note_t;

volatile note_t ring[32] __attribute__((aligned(256)));
volatile uint8_t took;    // offset in the ring
volatile uint8_t overrun; // not 0: edges were lost

// FIRST_ROUND lets tests have the clock begin elsewhere.
#ifndef FIRST_ROUND
#define FIRST_ROUND 0
#endif

// The three registers that are reached fastest.
#define PUT GPIOR0 // offset in the ring
#define ROUND_LOW GPIOR1
#define ROUND_HIGH GPIOR2

ISR(TIMER1_OVF_vect, ISR_NAKED)
{
	__asm__ volatile(
		"push r24\n"
		"in   r24, __SREG__\n"
		"push r24\n"
		"in   r24, %[low]\n"
		"subi r24, 0xFF\n"
		"out  %[low], r24\n"
		"in   r24, %[high]\n"
		"sbci r24, 0xFF\n"
		"out  %[high], r24\n"
		"pop  r24\n"
		"out  __SREG__, r24\n"
		"pop  r24\n"
		"reti\n"
		:
		: [low] "I"(_SFR_IO_ADDR(ROUND_LOW)), [high] "I"(_SFR_IO_ADDR(ROUND_HIGH)));
}

ISR(PCINT2_vect, ISR_NAKED)
{
	__asm__ volatile(
		"push r24\n"
		"lds  r24, %[tcl]\n" // first the low byte: it holds the high one
		"push r25\n"
		"lds  r25, %[tch]\n"
		"push r30\n"
		"in   r30, __SREG__\n"
		"push r30\n"
		"push r31\n"
		"in   r30, %[put]\n"
		"ldi  r31, hi8(ring)\n"
		"st   Z, r24\n"
		"in   r24, %[d]\n"
		"std  Z+1, r25\n"
		"in   r25, %[b]\n"
		"std  Z+2, r24\n"
		"std  Z+3, r25\n"
		"in   r24, %[flags]\n"
		"std  Z+4, r24\n"
		"in   r24, %[low]\n"
		"std  Z+5, r24\n"
		"in   r24, %[high]\n"
		"std  Z+6, r24\n"
		"lds  r24, took\n"
		"subi r30, 0xF8\n" // on by 8
		"cp   r30, r24\n"
		"breq 1f\n"
		"out  %[put], r30\n"
		"2:\n"
		"pop  r31\n"
		"pop  r30\n"
		"out  __SREG__, r30\n"
		"pop  r30\n"
		"pop  r25\n"
		"pop  r24\n"
		"reti\n"
		"1:\n"
		"sts  overrun, r31\n" // not 0: no RAM is there
		"rjmp 2b\n"
		:
		: [tcl] "n"(_SFR_MEM_ADDR(TCNT1L)), [tch] "n"(_SFR_MEM_ADDR(TCNT1H)), [put] "I"(_SFR_IO_ADDR(PUT)),
		  [d] "I"(_SFR_IO_ADDR(PIND)), [b] "I"(_SFR_IO_ADDR(PINB)), [flags] "I"(_SFR_IO_ADDR(TIFR1)),
		  [low] "I"(_SFR_IO_ADDR(ROUND_LOW)), [high] "I"(_SFR_IO_ADDR(ROUND_HIGH)));
}

ISR_ALIAS(PCINT0_vect, PCINT2_vect);

static uint8_t levels_of(uint8_t d, uint8_t b) { return (uint8_t)(d >> 2) | (uint8_t)(b << 6); }

void capture_start(void)
{
	// Inputs without pull-ups: those would feed 5 V into a receiver of 3.3 V.
	DDRD = 0;
	DDRB = 0;
	PORTD = 0;
	PORTB = 0;
	PUT = took = 0;
	ROUND_LOW = FIRST_ROUND & 0xFF;
	ROUND_HIGH = FIRST_ROUND >> 8;
	TCCR1A = 0;
	TCCR1B = _BV(CS11); // 16 MHz / 8: 0.5 us
	TIMSK1 = _BV(TOIE1);
	PCMSK2 = 0xFC;
	PCMSK0 = 0x03;
	PCICR = _BV(PCIE2) | _BV(PCIE0);
	sei();
}

bool capture_take(edge_t *e)
{
	const volatile note_t *n = &ring[took / sizeof *n];
	uint16_t high;

	if (overrun || took == PUT) // what is behind a hole is not what came next
		return false;
	high = (uint16_t)n->round_high << 8 | n->round_low;
	if (n->flags & _BV(TOV1) && !(n->low & 0x8000)) // it had gone round a moment before
		high++;
	e->tick = (uint32_t)high << 16 | n->low;
	e->levels = levels_of(n->d, n->b);
	took += sizeof *n;
	return true;
}

bool capture_overrun(void)
{
	if (!overrun)
		return false;
	ATOMIC_BLOCK(ATOMIC_FORCEON) {
		took = PUT;
		overrun = 0;
	}
	return true;
}

uint8_t capture_levels(void) { return levels_of(PIND, PINB); }
