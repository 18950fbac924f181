// A servo bus, or lines of text, shifted out on pin B0 of an ATmega328P at 16 MHz. It is written
// from what is common practice and shares nothing with the decoders that read what it sends.
//
// Settings for the compiler:
//
//	RATE      bit/s
//	PARITY    of a character: NONE, ODD or EVEN
//	STOP      stop bits
//	INVERTED  1: the line rests low
//	TEXT      1: lines of text, not frames
//	PERIOD    from one frame or line of text to the next, ms
//	MODEL     which frame or line of text is sent again and again, 0 to 3
#include <avr/io.h>

#include <stdint.h>

#define NONE 0
#define ODD 1
#define EVEN 2

#define CYCLES ((F_CPU + RATE / 2) / RATE) // of a bit
#define PERIOD_BITS (RATE * PERIOD / 1000)
#define CHANNELS 16

static const uint16_t models[][CHANNELS] = {
	{992, 1010, 172, 987, 1811, 172, 992, 1402, 992, 992, 992, 992, 992, 992, 992, 992},
	{992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992, 992},
	{1234, 567, 890, 1500, 321, 777, 1811, 640, 1023, 1024, 333, 1666, 205, 1999, 1, 1050},
	{1000, 1003, 200, 995, 172, 1811, 992, 172, 1024, 1024, 1024, 1024, 1024, 1024, 1024, 1024},
};

static const char *const texts[] = {
	"battery 11.42 V, 3.70 A, 23 degrees, signal 87\r\n",
	"$ALT,0123,4.56*7F\r\n$POS,48.1173,11.5167*3C\r\n",
	"1482;1511;988;1500;2011;1500\n",
	"> ready\r\n",
};

static uint16_t bits; // since the frame or line of text began

// put has the line at a level for a bit, which begins when the one before has lasted long enough.
static void put(uint8_t level)
{
	while (!(TIFR1 & _BV(OCF1A)))
		;
	PORTB = level ^ INVERTED;
	TIFR1 = _BV(OCF1A);
	bits++;
}

static void send(uint8_t c)
{
	uint8_t odd = 0;

	put(0);
	for (uint8_t i = 0; i < 8; i++) {
		put(c & 1);
		odd ^= c & 1;
		c >>= 1;
	}
	if (PARITY != NONE)
		put(PARITY == EVEN ? odd : !odd);
	for (uint8_t i = 0; i < STOP; i++)
		put(1);
}

// rest ends the period.
static void rest(void)
{
	while (bits < PERIOD_BITS)
		put(1);
	bits = 0;
}

// send_frame sends a header, 16 channels of 11 bits, the least bit first, no flag, and a zero.
static void send_frame(void)
{
	uint32_t waiting = 0;
	uint8_t n = 0;

	send(0x0F);
	for (uint8_t i = 0; i < CHANNELS; i++) {
		waiting |= (uint32_t)models[MODEL][i] << n;
		for (n += 11; n >= 8; n -= 8) {
			send(waiting);
			waiting >>= 8;
		}
	}
	send(0x00);
	send(0x00);
}

static void send_text(void)
{
	for (const char *c = texts[MODEL]; *c; c++)
		send(*c);
}

int main(void)
{
	PORTB = 1 ^ INVERTED;
	DDRB = 1;
	OCR1A = CYCLES - 1;
	TCCR1B = _BV(WGM12) | _BV(CS10); // from 0 to OCR1A, each cycle
	for (;;) {
		rest();
		if (TEXT)
			send_text();
		else
			send_frame();
	}
}
