// board-sim runs the capture board's firmware under simavr and drives its inputs.
//
//	board-sim FIRMWARE.elf STIMULUS             what it prints goes to stdout
//	board-sim --pty FIRMWARE.elf STIMULUS       ... to a pseudo-terminal, in real time
//	board-sim --pty --fast FIRMWARE.elf STIMULUS
//
// STIMULUS is a file as in stimulus.h, - for stdin. To stdout it runs as fast as it
// can and ends 100 ms (of the board's time) after the file does. With --pty the
// first line on stdout is the path of the pseudo-terminal, and a line "open" or
// "closed" follows each time that somebody opens or closes it (seen within a
// millisecond). The board's time stands still while nobody has it open, opening it
// resets the board (as it does many a board), and after the file's end it runs on
// until it is killed.
//
// Exit: 0 done, 2 wrong usage or stimulus, 3 trouble with the system, 4 the
// firmware crashed.

#define _GNU_SOURCE
#include <simavr/avr_ioport.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <simavr/sim_time.h>

#include <getopt.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "port.h"
#include "stimulus.h"

#define HERTZ 16000000ULL
#define CYCLES(ns) ((ns) * 2 / 125) // 62.5 ns

static avr_t *avr;
static FILE *file;
static struct stimulus next;
static bool more = true, ended, to_reset;
static int levels[9]; // by output
static uint64_t last; // cycle of the latest stimulus

static avr_irq_t *pin(int output)
{
	return output <= 6 ? avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), output + 1)
			   : avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B'), output - 7);
}

static void sent(struct avr_irq_t *irq, uint32_t value, void *param)
{
	(void)irq, (void)param;
	port_put((char)value);
}

// act does what is due. It is called by the simulator, at the cycle or at most an
// instruction later.
static avr_cycle_count_t act(avr_t *a, avr_cycle_count_t when, void *param)
{
	(void)param;
	while (more && CYCLES(next.ns) <= when) {
		last = CYCLES(next.ns);
		switch (next.what) {
		case LEVEL:
			levels[next.output] = next.level;
			avr_raise_irq(pin(next.output), next.level);
			break;
		case RESET:
			to_reset = true;
			break;
		case END:
			ended = true;
			break;
		}
		more = stimulus_next(file, &next);
	}
	(void)a;
	return more ? CYCLES(next.ns) : 0;
}

static void schedule(void)
{
	if (more)
		avr_cycle_timer_register(avr, CYCLES(next.ns) > avr->cycle ? CYCLES(next.ns) - avr->cycle : 1, act, NULL);
}

// reset: the inputs stay what they are.
static void reset(void)
{
	to_reset = false;
	avr_reset(avr);
	for (int i = 1; i <= 8; i++) {
		avr_raise_irq(pin(i), !levels[i]);
		avr_raise_irq(pin(i), levels[i]);
	}
	schedule();
}

// talk keeps stdout for the board.
static void talk(avr_t *a, const int level, const char *format, va_list ap)
{
	(void)a;
	if (level <= LOG_WARNING)
		vfprintf(stderr, format, ap);
}

static void start(const char *firmware)
{
	elf_firmware_t elf = {0};
	uint32_t flags = 0;

	avr_global_logger_set(talk);
	if (elf_read_firmware(firmware, &elf) || !(avr = avr_make_mcu_by_name("atmega328p"))) {
		fprintf(stderr, "%s: no firmware that can be run\n", firmware);
		exit(2);
	}
	avr_init(avr);
	avr_load_firmware(avr, &elf);
	avr->frequency = HERTZ;
	avr->run_cycle_limit = HERTZ / 10000;
	avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags); // no naps, nothing on the console
	avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT), sent, NULL);
	for (int i = 1; i <= 8; i++)
		avr_raise_irq(pin(i), 0);
	more = stimulus_next(file, &next);
	schedule();
}

// run_to runs to a cycle, or to the end.
static void run_to(uint64_t cycle)
{
	while (!ended && avr->cycle < cycle) {
		int state = avr_run(avr);

		if (state == cpu_Done || state == cpu_Crashed) {
			fprintf(stderr, "the firmware crashed at cycle %llu\n", (unsigned long long)avr->cycle);
			exit(4);
		}
		if (to_reset)
			reset();
	}
}

static void run_to_file(void)
{
	while (!ended && (more || avr->cycle < last + HERTZ / 10)) {
		run_to(avr->cycle + HERTZ / 1000);
		port_flush(true);
	}
}

static void nap(void)
{
	struct timespec ms = {.tv_nsec = 1000000};

	nanosleep(&ms, NULL);
}

static uint64_t now_cycles(void)
{
	struct timespec t;

	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec * HERTZ + CYCLES((uint64_t)t.tv_nsec);
}

static void tell(const char *what)
{
	printf("%s\n", what);
	fflush(stdout);
}

static void run_to_pty(bool fast)
{
	bool open = false, used = false;
	uint64_t offset = 0; // of the board's cycles to ours

	while (!ended) {
		bool was = open;

		open = port_is_open();
		if (open != was)
			tell(open ? "open" : "closed");
		if (!open) {
			nap();
			continue;
		}
		if (!was) {
			if (used)
				reset();
			used = true;
			offset = avr->cycle - now_cycles();
		}
		run_to(fast ? avr->cycle + HERTZ / 1000 : now_cycles() + offset);
		if (port_flush(fast) && !fast)
			fprintf(stderr, "characters lost: nobody read them in time\n");
		if (!fast)
			nap();
	}
}

int main(int argc, char **argv)
{
	static const struct option options[] = {{"pty", no_argument, NULL, 'p'}, {"fast", no_argument, NULL, 'f'}, {0}};
	bool pty = false, fast = false;
	int c;

	while ((c = getopt_long(argc, argv, "", options, NULL)) != -1) {
		pty |= c == 'p';
		fast |= c == 'f';
		if (c == '?')
			return 2;
	}
	if (argc - optind != 2) {
		fprintf(stderr, "want: board-sim [--pty [--fast]] FIRMWARE.elf STIMULUS\n");
		return 2;
	}
	file = strcmp(argv[optind + 1], "-") ? fopen(argv[optind + 1], "r") : stdin;
	if (!file) {
		perror(argv[optind + 1]);
		return 2;
	}
	port_open(pty);
	start(argv[optind]);
	if (pty)
		run_to_pty(fast);
	else
		run_to_file();
	return 0;
}
