// dump runs a firmware of an ATmega328P at 16 MHz under simavr and writes what its pin B0 does
// as a value change dump, by the cycle.
//
//	dump FIRMWARE.elf MS DUMP.vcd
//
// Exit: 0 done, 2 wrong usage or firmware, 3 the dump can't be written, 4 the firmware crashed.
#include <simavr/avr_ioport.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <simavr/sim_vcd_file.h>

#include <stdio.h>
#include <stdlib.h>

#define HERTZ 16000000ULL

int main(int argc, char **argv)
{
	elf_firmware_t elf = {0};
	avr_t *avr = avr_make_mcu_by_name("atmega328p");
	avr_vcd_t vcd;

	if (argc != 4 || !avr || elf_read_firmware(argv[1], &elf)) {
		fprintf(stderr, "want: dump FIRMWARE.elf MS DUMP.vcd\n");
		return 2;
	}
	avr_init(avr);
	avr_load_firmware(avr, &elf);
	avr->frequency = HERTZ;
	if (avr_vcd_init(avr, argv[3], &vcd, 100) ||
	    avr_vcd_add_signal(&vcd, avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B'), 0), 1, "line") || avr_vcd_start(&vcd)) {
		fprintf(stderr, "%s: can't be written\n", argv[3]);
		return 3;
	}
	for (uint64_t end = strtoull(argv[2], NULL, 10) * (HERTZ / 1000); avr->cycle < end;) {
		int state = avr_run(avr);

		if (state == cpu_Done || state == cpu_Crashed) {
			fprintf(stderr, "the firmware crashed at cycle %llu\n", (unsigned long long)avr->cycle);
			return 4;
		}
	}
	avr_vcd_close(&vcd);
	return 0;
}
